const unit =
  '(?:A|mA|V|kV|W|kW|kWh|Ω|kΩ|MΩ|Hz|m|mm|cm|km|mm²|cm³|in³|in|ft|miles|N|N·m|lbf|in-lbf|lb|kg|°C|°F|AWG|s|ms|min|h|px|%)(?![\\p{L}\\p{N}])';

/** The space between a figure and its unit, in our sentences and in people's own: no line may end there. */
export const spaceBeforeUnit = new RegExp(`(?<=[\\d½¼¾]) (?=${unit})`, 'gu');

const beginsWithUnit = new RegExp(`^${unit}`, 'u');

/** Whether a word ends in a figure and the next begins with its unit: "9.9" and "A,". */
export function isFigureWithUnit(word: string, next: string): boolean {
  return /[\d½¼¾]$/.test(word) && beginsWithUnit.test(next);
}
