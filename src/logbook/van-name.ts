/** The most letters of a van's name where there is room for a line. */
const longest = 40;

/** The van's name where its description has one before a comma; a longer one ends with its last whole word. */
export function vanName(description: string): string {
  const name = description.split(',')[0]!.trim();
  if (name.length <= longest) return name;
  return `${/^.{1,39}(?=\s)/su.exec(name)?.[0] ?? name.slice(0, longest - 1)}…`;
}
