const unit =
  '(?:A|mA|V|kV|W|kW|kWh|Ω|kΩ|MΩ|Hz|HZ|m|mm|cm|km|mm²|cm³|in³|in|ft|miles|N|N·m|lbf|in-lbf|lb|kg|°C|°F|AWG|s|ms|min|h|px|%)(?![\\p{L}\\p{N}])';
const month = '(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)';
const zone = '(?:UTC|(?:AK|[ACEMNP])[SD]T|HST|ChST)(?!\\p{L})';
/** What follows its figure: a unit, the month of a day, the zone of a time. */
const behind = `(?:${unit}|${month}(?: \\d{4}|$)|${zone})`;
/** What stands before its number: a thing of which there are several, the month of a year, the sign of an error. */
const ahead = `(?:(?<!\\p{L})(?:[Oo]utlet|[Rr]evision)|\\d ${month}|±)`;

const kept = `(?<=[\\d½¼¾]) (?=${behind})|(?<=${ahead}) (?=\\d)`;

/** The space between a figure and its unit or its name, in our sentences and in people's own: no line may end there. */
export const keptSpace = new RegExp(kept, 'gu');

const keptHere = new RegExp(kept, 'uy');

/** Whether a word ends in a figure and the next begins with its unit, "9.9" and "A,", or the number of a name is next, "outlet" and "2". */
export function belongTogether(word: string, next: string): boolean {
  keptHere.lastIndex = word.length;
  return keptHere.test(`${word} ${next}`);
}
