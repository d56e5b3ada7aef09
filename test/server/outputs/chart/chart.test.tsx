import { renderToString } from 'preact-render-to-string';
import { expect, it } from 'vitest';
import { Chart } from '../../../../server/outputs/chart/chart.tsx';
import { berthSign, reckonedExample } from './designs.ts';

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
