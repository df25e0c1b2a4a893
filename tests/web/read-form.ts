/** The fields of the form on a page that is sent to `action`, as a browser would send them untouched. */
export function formOn(html: string, action: string): Record<string, string> {
  const forms = [...html.matchAll(/<form\b([^>]*)>([\s\S]*?)<\/form>/g)];
  const form = forms.find(([, head]) => attribute(head ?? '', 'action') === action);
  if (form === undefined) throw new Error(`no form is sent to ${action}`);
  const inner = form[2] ?? '';
  const fields: Record<string, string> = {};
  for (const [tag] of inner.matchAll(/<input\b[^>]*>/g)) {
    const name = attribute(tag, 'name');
    const type = attribute(tag, 'type');
    if (name === undefined || type === 'file') continue;
    if ((type === 'checkbox' || type === 'radio') && !/\schecked\b/.test(tag)) continue;
    fields[name] = attribute(tag, 'value') ?? '';
  }
  for (const [, head = '', options = ''] of inner.matchAll(/<select\b([^>]*)>([\s\S]*?)<\/select>/g)) {
    const all = [...options.matchAll(/<option\b[^>]*>/g)].map(([tag]) => tag);
    const chosen = all.find((tag) => /\sselected\b/.test(tag)) ?? all[0] ?? '';
    fields[attribute(head, 'name') ?? ''] = attribute(chosen, 'value') ?? '';
  }
  for (const [, head = '', text = ''] of inner.matchAll(/<textarea\b([^>]*)>([\s\S]*?)<\/textarea>/g))
    fields[attribute(head, 'name') ?? ''] = plain(text);
  return fields;
}

function attribute(tag: string, name: string): string | undefined {
  const found = new RegExp(`\\s${name}="([^"]*)"`).exec(tag)?.[1];
  return found === undefined ? undefined : plain(found);
}

const marks: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };

/** Text as it reads, without the escapes of HTML. */
export function plain(text: string): string {
  return text.replace(/&(amp|lt|gt|quot|#39);/g, (_, mark: string) => marks[mark] ?? '');
}
