// Runs in a page and answers what it holds of script or style in its own text; see page-strictness.ts.
[
  ...[...document.querySelectorAll('style, script:not([src]), [style]')].map((e) => e.outerHTML.slice(0, 80)),
  ...[...document.querySelectorAll('*')]
    .flatMap((e) => [...e.attributes])
    .filter(({ name, value }) => /^on/.test(name) || /^\s*javascript:/i.test(value))
    .map(({ name, value }) => `${name}="${value.slice(0, 60)}"`),
].map((found) => `holds ${found}`);
