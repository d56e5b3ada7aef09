import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { impersonal, type Reported, reportJson, reportText } from '../../../server/outputs/report.ts';
import type { Reckoned } from '../../../server/protocol.ts';
import { berthSign, reckonedExample } from './chart/designs.ts';

const reported = (...mechanisms: Reckoned[]): Reported => ({
  version: '9.9.9',
  mechanisms,
  findings: mechanisms.flatMap(({ findings }) => findings),
  where: () => ({ line: 3, column: 7 }),
});

describe('a report', () => {
  const sign = reckonedExample('berth-sign');

  it('holds version, revision, process, what is seen at every rest, fingerprints and defaults', () => {
    const text = reportText(reported(sign));
    for (const said of [
      'Lobewright 9.9.9\nnothing wrong is found',
      'BerthSign: Berth sign, revision A, assembled greased, runs forward',
      'filament     0.4    0.2     0.1        0.2   0.8   0.3  pla',
      '11  -       g',
      'a.overhang                5 mm                             stroke + nose',
    ])
      expect(text).toContain(said);
    const { parts } = reportJson(reported(sign)).mechanisms[0]!;
    expect(parts.map(({ fingerprint }) => fingerprint)).toEqual(
      parts.map(() => expect.stringMatching(/^[0-9a-f]{16}$/)),
    );
    for (const { name, fingerprint } of parts) expect(text).toMatch(new RegExp(`  ${name} .*${fingerprint}`));
  });

  it('tells findings by weight, with their place, and what is accepted last', () => {
    const steep = berthSign(
      ['base 22 mm', 'base 8 mm'],
      ['travel 26 deg', 'travel 40 deg'],
      ['  limits', '  accept steep-cam on camA "it is slow"\n  limits'],
    );
    const lines = reportText(reported(steep)).split('\n');
    const found = lines.slice(2, lines.indexOf(''));
    const weights = found.map((line) =>
      ['error', 'warning', 'information', 'hint', 'accepted'].indexOf(line.split(' ')[1]!),
    );
    expect(weights).toEqual([...weights].sort((a, b) => a - b));
    expect(weights).toContain(0);
    expect(found.at(-1)).toMatch(/^3:7: accepted steep-cam: bar a .*\(it is slow\)$/);
  });

  it('says nothing of who wrote it', () => {
    const signed = berthSign(['revision "A"', 'revision "A"   author "Ann Other"   licence "Ann Other only"']);
    const said = reportText(reported(signed)) + JSON.stringify(reportJson(reported(signed)));
    expect(said).not.toContain('Ann');
  });

  it('is one fenced block, whatever names the design has', () => {
    const ticks = berthSign(['title "Berth sign"', 'title "```` <b>"']);
    const text = reportText(reported(ticks));
    expect(text).toMatch(/^`````text\n/);
    expect(text.trimEnd()).toMatch(/\n`````$/);
    expect(text.match(/^`{5,}/gm)).toHaveLength(2);
  });

  it('tells whole designs that hold no mechanism too', () => {
    expect(reportText({ version: '1', mechanisms: [], findings: [], where: () => undefined })).toBe(
      '```text\nLobewright 1\nnothing wrong is found\n```\n',
    );
  });
});

describe('paths', () => {
  it.each([
    ['cannot read /home/ann/signs/tables.lobe here', 'cannot read …/tables.lobe here'],
    ['"/Users/ann/tables.lobe" is not there', '"…/tables.lobe" is not there'],
    ['"/home/ann other/signs/tables.lobe" is not there', '"…/tables.lobe" is not there'],
    ['C:\\Users\\ann\\tables.lobe', '…/tables.lobe'],
    ['file:///home/ann/tables.lobe', '…/tables.lobe'],
    ['vscode-remote://host/home/ann/tables.lobe', '…/tables.lobe'],
    ['~/signs/tables.lobe', '…/tables.lobe'],
  ])('%s: the last name alone stays', (said, left) => {
    expect(impersonal(said)).toBe(left);
  });

  it.each([
    '0.08 N/mm and 5/6 of the step',
    'a/b',
    'upperGear–lowerGear',
    '1 : 2',
    'N·mm',
    '"../tables.lobe" is not there',
  ])('%s is none, and stays', (said) => {
    expect(impersonal(said)).toBe(said);
  });

  it('leave no folder, however they are spelled', () => {
    const name = fc.stringMatching(/^[a-z][a-z0-9_-]{0,7}$/);
    fc.assert(
      fc.property(fc.array(name, { minLength: 2, maxLength: 5 }), fc.constantFrom('/', '\\'), (folders, mark) => {
        const root = mark === '/' ? '/' : 'D:\\';
        const said = impersonal(`cannot read ${root}${folders.join(mark)}${mark}last.lobe: no such file`);
        expect(said).toBe('cannot read …/last.lobe: no such file');
      }),
    );
  });
});
