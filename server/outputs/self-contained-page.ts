/** One HTML file that holds everything it needs: styles, data, the script that makes it play. It asks nothing of any host. */
import { properties } from './chart/themes.ts';
import { escaped, lawful } from './markup.ts';

/** A page is handed on: of a file it tells the name, not the folders it lies in. */
const withoutFolders = (key: string, value: unknown): unknown =>
  key === 'file' && typeof value === 'string' ? value.slice(value.lastIndexOf('/') + 1) : value;

/** Data inside a script element: no `<` may end it, no line separator may break it. */
const inScript = (value: unknown): string =>
  JSON.stringify(value, withoutFolders).replace(
    /[<\u2028\u2029]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

export interface SelfContained {
  readonly title: string;
  readonly styles: readonly string[];
  /** The id of the element that the script draws in. */
  readonly place: string;
  /** Markup that stands there where scripts do not run. */
  readonly standing: string;
  /** What the script reads, from the element of this id. */
  readonly data: { readonly id: string; readonly value: unknown };
  readonly script: string;
}

/** The page, in the reader's light, dark or contrast; the same input gives the same bytes. */
export function selfContainedPage({ title, styles, place, standing, data, script }: SelfContained): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'">
<title>${escaped(lawful(title))}</title>
<style>
:root{color-scheme:light dark;${properties('light')}}
@media (prefers-color-scheme:dark){:root{${properties('dark')}}}
@media (prefers-contrast:more){:root{${properties('contrast')}}}
@media print{:root{${properties('light')}}}
${styles.join('\n')}
</style>
</head>
<body class="lw-page">
<main id="${place}"><noscript>
${standing}
</noscript></main>
<script type="application/json" id="${data.id}">${inScript(data.value)}</script>
<script>${script.replace(/<\/script/gi, '<\\/script')}</script>
</body>
</html>
`;
}
