const both = /(\d[\d.]*) (m|mm|cm³|N·m|km|kg) \((\d[\d.]*) (ft|in|in³|in-lbf|miles|lb)\)/g;

/**
 * The program's own sentences with the shop's units first: "7.62 m (25 ft)" becomes "25 ft (7.62 m)" where the shop reads
 * feet and inches. Never for what a person typed: that stays as it was written.
 */
export function unitsFirst(text: string, units: 'metric' | 'imperial'): string {
  return units === 'imperial' ? text.replace(both, '$3 $4 ($1 $2)') : text;
}
