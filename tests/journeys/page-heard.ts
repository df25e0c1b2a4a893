import type { Page } from 'playwright-core';
import { inPage } from './page-geometry.js';

const errorsTied = inPage('errors-tied');

interface Node {
  readonly nodeId: string;
  readonly ignored: boolean;
  readonly role?: { value: string };
  readonly name?: { value: string };
  readonly description?: { value: string };
  readonly properties?: readonly { name: string; value: { value?: unknown } }[];
  readonly childIds?: readonly string[];
}

/** What is worked or unfolded, and what is given a group's name where there are several alike. */
const worked = ['button', 'checkbox', 'combobox', 'link', 'radio', 'textbox', 'DisclosureTriangle'];
const alone = worked.filter((role) => role !== 'link');
/** What a page draws with letters: an arrow, a plus; a screen reader would say it. */
const drawn = /^[+–‹›]|[‹›]$/;

/**
 * What is wrong with a page as a screen reader gets it, by the browser's own accessibility tree, each as a sentence: something to
 * work without a name, or with the name of another in the same group, or told twice, or with an ornament in its name; a cell that says its column's head by itself; a heading
 * that leaves out a level; an error that is not told at its field or whose link leads nowhere; a name that is not what is seen.
 */
export async function heardFaults(page: Page): Promise<string[]> {
  const session = await page.context().newCDPSession(page);
  const { nodes } = (await session.send('Accessibility.getFullAXTree')) as unknown as { nodes: Node[] };
  await session.detach();
  const faults = await page.evaluate<string[]>(errorsTied);
  const byId = new Map(nodes.map((node) => [node.nodeId, node]));
  const seen = new Set<string>();
  let level = 0;
  const heads = nodes.flatMap(({ role, name }) => (role?.value === 'columnheader' ? [name?.value] : []));
  const walk = (node: Node | undefined, groups: string) => {
    if (node === undefined) return;
    const role = node.role?.value ?? '';
    const name = node.name?.value.replace(/\s+/g, ' ').trim() ?? '';
    const said = `${role} “${name.slice(0, 60)}”`;
    if (!node.ignored && worked.includes(role)) {
      if (name === '') faults.push(`a ${role} has no name`);
      if (name !== '' && node.description?.value === node.name?.value) faults.push(`${said} is told twice`);
      if (drawn.test(name)) faults.push(`${said} has an ornament in its name`);
      const key = `${groups}/${role} ${name}`;
      if (alone.includes(role) && seen.has(key)) faults.push(`${said} is there more than once in one group`);
      seen.add(key);
    }
    const head = role === 'cell' ? heads.find((of) => name.startsWith(`${of} `)) : undefined;
    if (head !== undefined) faults.push(`${said} says its column’s head once more`);
    if (!node.ignored && role === 'heading') {
      const next = Number(node.properties?.find((property) => property.name === 'level')?.value.value);
      if (next > level + 1) faults.push(`${said} is of level ${next} behind one of level ${level}`);
      level = next;
    }
    const own =
      !node.ignored && ['group', 'region', 'form', 'row', 'Date'].includes(role)
        ? `${groups}/${name}`
        : groups;
    for (const child of node.childIds ?? []) walk(byId.get(child), own);
  };
  walk(nodes[0], '');
  return [...new Set(faults)];
}
