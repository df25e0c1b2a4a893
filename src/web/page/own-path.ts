/** A path on this site, or the list of jobs: a form may not send anyone elsewhere. */
export function ownPath(next: unknown): string {
  return typeof next === 'string' && /^\/(?![/\\])[\w\-./?=&%]*$/.test(next) ? next : '/';
}
