/** `chart`: the phase chart as a file. */
import { chartHtml, chartPng, chartSvg, type ThemeName } from '../outputs/chart/files.tsx';
import { chartJson, chartText } from '../outputs/chart/written.ts';
import { mechanismPairs } from '../outputs/compare/comparison.ts';
import { type Ghost, ghostOf } from '../outputs/compare/ghost.ts';
import type { Reckoned } from '../protocol.ts';
import { type Arguments, kindOf, lastOf, Refusal } from './arguments.ts';
import { chosen, isStandingError, type Opened, openFile } from './designs.ts';
import { print, shipped, writeOut } from './files.ts';
import type { Status } from './verbs.ts';

const endings = { svg: 'svg', png: 'png', html: 'html', htm: 'html', json: 'json', txt: 'text' } as const;
type Kind = (typeof endings)[keyof typeof endings];

export async function chart(given: Arguments): Promise<Status> {
  const [path, ...more] = given.files;
  if (path === undefined || more.length) throw new Refusal('chart wants one FILE; lobewright chart --help tells more');
  const out = lastOf(given, 'out');
  const kind = kindOf(given, 'chart', endings, 'svg');
  if (kind === 'png' && out === undefined && process.stdout.isTTY) {
    throw new Refusal('a PNG is nothing for a terminal; say where to with --out PATH');
  }
  const opened = await openFile(path, given);
  const mechanisms = chosen(opened, lastOf(given, 'mechanism'));
  const against = lastOf(given, 'against');
  if (path === '-' && against === '-') throw new Refusal('standard input is FILE already; hold it against another');
  const ghosts =
    against === undefined
      ? []
      : ghostsOf(mechanisms, opened, await (await import('./versions.ts')).openVersion(against));
  const drawn = await draw(mechanisms, ghosts, kind, (lastOf(given, 'theme') ?? 'light') as ThemeName);
  if (out === undefined) print(drawn);
  else writeOut(out, drawn);
  const wrong = mechanisms.flatMap(({ findings }) => findings).some(isStandingError);
  return wrong || opened.analysis.broken ? 1 : 0;
}

/** The older version of every mechanism that is drawn. */
function ghostsOf(mechanisms: readonly Reckoned[], { analysis }: Opened, old: Opened): Ghost[] {
  const { pairs } = mechanismPairs(old.analysis.mechanisms, analysis.mechanisms);
  return mechanisms.map((now) => ghostOf(pairs.find(([, other]) => other === now)?.[0], now, old.path));
}

async function draw(
  mechanisms: readonly Reckoned[],
  ghosts: readonly Ghost[],
  kind: Kind,
  theme: ThemeName,
): Promise<string | Uint8Array> {
  const first = mechanisms[0]!;
  const ghost = ghosts[0];
  switch (kind) {
    case 'svg':
      return chartSvg(first, { theme, ghost });
    case 'html':
      return chartHtml(mechanisms, { script: shipped('page.js').toString('utf8'), ghosts });
    case 'json':
      return `${JSON.stringify(chartJson(mechanisms, ghosts), undefined, 2)}\n`;
    case 'text':
      return chartText(mechanisms, ghosts);
    case 'png': {
      const fonts = [shipped('DejaVuSans.ttf'), shipped('DejaVuSans-Bold.ttf')];
      return chartPng(chartSvg(first, { theme, ghost }), { wasm: new Uint8Array(shipped('resvg.wasm')), fonts });
    }
  }
}
