/** 64 hexadecimal digits in groups of eight, as a person compares them. */
export function grouped(hex: string): string {
  return hex.match(/.{1,8}/g)?.join(' ') ?? '';
}
