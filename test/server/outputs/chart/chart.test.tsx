import { renderToString } from 'preact-render-to-string';
import { expect, it } from 'vitest';
import { Chart } from '../../../../server/outputs/chart/chart.tsx';
import { lobePlace, viewOf } from '../../../../server/outputs/chart/view.ts';
import { berthSign, example, reckonedAll, reckonedExample } from './designs.ts';

const rows = (html: string) => [...html.matchAll(/<g class="(lw-row[^"]*)"[^>]*aria-label="(\w+) /g)];
const lit = (html: string) => rows(html).flatMap(([, classes, cam]) => (classes.includes('lw-chosen') ? [cam] : []));

it('lights the row of the cursor by outline and bold name', () => {
  const html = (part: string) =>
    renderToString(<Chart mechanisms={[reckonedExample('berth-sign')]} selected={{ mechanism: 'BerthSign', part }} />);
  expect(lit(html('camC'))).toEqual(['camC']);
  expect(lit(html('f'))).toEqual(['camF']);
  expect(lit(html('upper'))).toEqual([]);
  expect(html('camC')).toMatch(/<text class="lw-bold"[^>]*>camC</);
  expect(html('camC')).toContain('Stack · camC');
});

it('shows the mechanism that the cursor stands in', () => {
  const mechanisms = [reckonedExample('berth-sign'), reckonedExample('pier-flag')];
  expect(renderToString(<Chart mechanisms={mechanisms} />)).toContain('<h1>Berth sign</h1>');
  const other = renderToString(<Chart mechanisms={mechanisms} selected={{ mechanism: 'PierFlag' }} />);
  expect(other).toContain('<h1>Pier flag</h1>');
});

it('keeps the last good chart and says why', () => {
  const html = renderToString(
    <Chart mechanisms={[reckonedExample('berth-sign')]} stale='expected a name, found "}"' />,
  );
  expect(html).toMatch(/role="status".*Last good chart\..*expected a name/s);
  expect(rows(html).length).toBe(7);
});

it('says what to write where there is nothing', () => {
  expect(renderToString(<Chart mechanisms={[]} />)).toContain('No mechanism here yet');
});

it('lists what the maker accepted apart, with the reason', () => {
  const accepted = berthSign(
    ['base 22 mm', 'base 15 mm'],
    ['bought 4', 'accept steep-cam on camA "a slow hand turns it"\n  bought 4'],
  );
  const html = renderToString(<Chart mechanisms={[accepted]} />);
  expect(html).toMatch(/Accepted: 1<.*steep-cam.*“a slow hand turns it”/s);
});

it('labels flanks that differ by their range, and says no travel that is not used', () => {
  const own =
    'drives a { lobe from 100 deg to 140 deg flank 25 deg  lobe from 300 deg to 10 deg flanks 20 deg, 21 deg }\n';
  const html = renderToString(<Chart mechanisms={[berthSign(['drives a\n', own])]} width={1400} />);
  expect(html).toContain('>a · 3.5 mm · 20°–25°<');
  expect(html).toContain('>b · 3.5 mm · 25°<');
  expect(html).toMatch(/aria-label="camA [^"]*; flanks 20°–25°;/);
  expect(html).toMatch(/aria-label="camB [^"]*; travel 25°;/);
});

it('strikes out and names a bar that no cam drives where a symbol wants it', () => {
  const html = renderToString(<Chart mechanisms={[reckonedExample('wrong-on-purpose')]} />);
  const heads = [
    ...html.matchAll(
      /<g class="lw-head"[^>]*aria-label="Rest \d+, (\w): ([^"]*)".*?(?=<g class="lw-head"|<g role="group")/gs,
    ),
  ];
  const wrong = heads.filter(([, , said]) => said.endsWith('wrong: e'));
  expect(wrong.map(([, symbol]) => symbol)).toEqual(['0', '2', '6', '8', '0']);
  for (const [head] of wrong) {
    expect(head).toContain('lw-strike-ink');
    expect(head).toContain('>✗ e<');
  }
});

it('knows the text that made a lobe: its own where it is stated, else the cam', () => {
  const text = example('berth-sign')
    .replace('drives a\n', 'drives a { lobe from 100 deg to 140 deg  lobe from 10 deg to 50 deg flank 20 deg }\n')
    .replace('drives b\n', 'drives b { raised at 0 1 2 }\n');
  const view = viewOf(reckonedAll(text)[0]);
  const start = text.indexOf('mechanism BerthSign');
  const said = (cam: string, lobe: number) => {
    const { from, to } = lobePlace(view.rows.find((row) => row.cam.name === cam)!, lobe);
    return text.slice(start + from, start + to);
  };
  expect(said('camA', 0)).toBe('lobe from 10 deg to 50 deg flank 20 deg');
  expect(said('camA', 1)).toBe('lobe from 100 deg to 140 deg');
  expect(said('camB', 0)).toBe('raised at 0 1 2');
  expect(said('camF', 1)).toBe('cam camF on upper level 3 drives f');
});
