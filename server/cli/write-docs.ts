/** Writes the documentation that ships with the extension; run by `node build.mjs generate`. */
import '../../language/group-by.mjs';
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { stretchOf } from '../../language/places.ts';
import { readingPages } from '../../language/reading-pages.ts';
import { type DefaultRow, referenceMarkdown } from '../../language/reference.ts';
import { createLobeServices, readDesign } from '../../language/services.ts';
import { valuePages } from '../../language/value-pages.ts';
import { analyse } from '../analysis.ts';
import { partsOf } from '../checks/check.ts';
import { pages } from '../checks/index.ts';
import { indexMarkdown, pageMarkdown, type Shown } from '../checks/pages.ts';
import { commandLineMarkdown } from './verbs.ts';

const services = createLobeServices();

/** Everything that is found in a text. */
function found(text: string): Shown[] {
  const document = readDesign(services, text);
  return analyse(document, services.shared.workspace.LangiumDocuments).findings.map(
    ({ code, severity, message, place }) => {
      const stretch = stretchOf(document.parseResult.value, place);
      return { code, severity, message, at: stretch ? text.slice(stretch.from, stretch.to) : '' };
    },
  );
}

/** A design that says only what it must, so that every default shows. */
const bare = `mechanism Bare {
  glyphs decimal
  count 0 1
  shaft axle { at 0 mm, 0 mm }
  shaft other { at 20 mm, 0 mm   key dee   bearing 8 mm }
  key dee { shape flat   outer 8 mm }
  gear wheel on axle { module 1 mm   teeth 20   width 5 mm }
  gear pinion on other { module 1 mm   teeth 20   width 5 mm }
  mesh wheel pinion
  segment a { azimuth 90 deg   stroke 3 mm   nose 1.5 mm   guide 14 mm   bar 20 mm by 4 mm at 0 mm, 40 mm }
  cam plate on axle level 1 drives a { base 20 mm }
  frame { }
}
`;

/** Every default of the bare design once, by the kind of part it counts for. */
function defaults(): DefaultRow[] {
  const [{ mechanism, figures }] = analyse(
    readDesign(services, bare),
    services.shared.workspace.LangiumDocuments,
  ).mechanisms;
  const kinds = new Map(partsOf(mechanism).map(({ name, kind }) => [name, kind]));
  const rows = new Map<string, DefaultRow>();
  for (const { of, value, because } of figures.defaults) {
    const dot = of.indexOf('.');
    const name = of.slice(0, dot);
    const what = `${name === mechanism.name ? 'mechanism' : (kinds.get(name) ?? name)} ${of.slice(dot + 1)}`;
    if (!rows.has(what)) rows.set(what, { of: what, value, because });
  }
  return [...rows.values()];
}

const folder = join('extension', 'docs');
mkdirSync(join(folder, 'findings'), { recursive: true });
for (const name of readdirSync(join(folder, 'findings'))) rmSync(join(folder, 'findings', name));
for (const page of [...readingPages, ...valuePages, ...pages])
  writeFileSync(join(folder, 'findings', `${page.code}.md`), pageMarkdown(page, found));
writeFileSync(
  join(folder, 'findings.md'),
  indexMarkdown([
    { title: 'In the mechanism', pages },
    { title: 'In the reading of the text', pages: readingPages },
    { title: 'In its values', pages: valuePages },
  ]),
);
writeFileSync(join(folder, 'language.md'), referenceMarkdown(defaults()));
writeFileSync(join(folder, 'command-line.md'), commandLineMarkdown());
