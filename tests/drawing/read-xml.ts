/** A strict reader for the markup that drawings write: throws at anything that is not well formed, answers elements and texts. */
export function readXml(source: string): { names: string[]; texts: string[] } {
  const names: string[] = [];
  const texts: string[] = [];
  const open: string[] = [];
  let at = 0;
  while (at < source.length) {
    if (source[at] !== '<') {
      const end = source.indexOf('<', at);
      if (end < 0 || open.length === 0) throw new Error(`text outside the root at ${at}`);
      texts.push(unescapeText(source.slice(at, end)));
      at = end;
      continue;
    }
    const tag = /^<(\/?)([a-z]+)((?: [a-zA-Z][a-zA-Z0-9:-]*="[^"<]*")*)(\/?)>/.exec(source.slice(at));
    if (!tag) throw new Error(`not a tag at ${at}: ${source.slice(at, at + 60)}`);
    const [whole, closing, name = '', attributes = '', selfClosing] = tag;
    const pairs = [...attributes.matchAll(/ ([a-zA-Z][a-zA-Z0-9:-]*)="([^"]*)"/g)];
    for (const [, , value = ''] of pairs) unescapeText(value);
    const written = pairs.map((m) => m[1]);
    if (new Set(written).size !== written.length) throw new Error(`an attribute twice in <${name}>`);
    if (closing === '/') {
      if (open.pop() !== name) throw new Error(`</${name}> closes another element`);
    } else {
      names.push(name);
      if (selfClosing !== '/') open.push(name);
    }
    at += whole.length;
  }
  if (open.length > 0) throw new Error(`${open.join(', ')} not closed`);
  return { names, texts };
}

function unescapeText(written: string): string {
  if (/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/u.test(written))
    throw new Error('a character that XML lacks');
  const entities: Record<string, string> = {
    '&amp;': '&',
    '&lt;': '<',
    '&gt;': '>',
    '&quot;': '"',
    '&#39;': "'",
  };
  return written.replace(/&[^;]*;?/g, (entity) => {
    const mark = entities[entity];
    if (mark === undefined) throw new Error(`unknown entity ${entity}`);
    return mark;
  });
}
