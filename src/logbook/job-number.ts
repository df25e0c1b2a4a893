/** A job's number as an address and a file may have it; the shop's own are such as 2026-014. */
export const jobNumber = /^[A-Za-z0-9][A-Za-z0-9-]{0,39}$/;

export function isJobNumber(text: string): boolean {
  return jobNumber.test(text);
}
