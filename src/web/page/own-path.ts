/** The path of an address, without what is asked there. */
export function pathOf(address: string): string {
  return address.replace(/\?.*/s, '');
}

/** A path on this site, or the list of jobs: a form may not send anyone elsewhere. */
export function ownPath(next: unknown): string {
  return typeof next === 'string' && /^\/(?![/\\])[\w\-./?=&%]*$/.test(next) ? next : '/';
}
