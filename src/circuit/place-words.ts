import { type Circuit, outletNumber } from './circuit.js';

/** A place of the circuit in words: "cord", "feed to outlet 2", "outlet 2". What is no such place stays as it is written. */
export function placeWords(circuit: Circuit, place: string): string {
  const [, kind, id = ''] = /^(feed|outlet):(.+)$/.exec(place) ?? [];
  if (kind === undefined) return place === 'bond' ? 'bond to the chassis' : place;
  const number = outletNumber(circuit, id);
  const outlet = number === 0 ? 'an outlet taken out' : `outlet ${number}`;
  return kind === 'feed' ? `feed to ${outlet}` : outlet;
}
