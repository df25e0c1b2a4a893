/** Puts a value behind all others in a map that keeps so many: what was put longest ago goes. A key that is put again counts anew. */
export function putNewest<V>(map: Map<string, V>, key: string, value: V, most: number): void {
  map.delete(key);
  map.set(key, value);
  const [oldest = key] = map.keys();
  if (map.size > most) map.delete(oldest);
}
