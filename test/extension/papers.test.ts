import { describe, expect, it } from 'vitest';
import { formatOf, formatsOf, suggestedName } from '../../extension/paper-names.ts';
import { type Address, beside, type Files, writeWhole } from '../../extension/whole.ts';

class At implements Address {
  readonly path: string;
  constructor(path: string) {
    this.path = path;
  }
  with({ path }: { readonly path: string }): this {
    return new At(path) as this;
  }
}

/** Files in memory that refuse what `refuse` names. */
function filesWith(held: Record<string, string>, refuse?: 'write' | 'half' | 'rename') {
  const files: Files<At> = {
    async writeFile({ path }, content) {
      if (refuse === 'write') throw new Error('no room');
      held[path] = refuse === 'half' ? 'ha' : new TextDecoder().decode(content);
      if (refuse === 'half') throw new Error('no more room');
    },
    async rename({ path }, to) {
      if (refuse === 'rename') throw new Error('not allowed');
      held[to.path] = held[path]!;
      delete held[path];
    },
    async delete({ path }) {
      if (!(path in held)) throw new Error('no such file');
      delete held[path];
    },
  };
  return files;
}

const sheet = new At('/pier/sign sheet.pdf');
const bytes = new TextEncoder().encode('new');

describe('a file that is written whole', () => {
  it('takes the place of the old one, and leaves nothing beside it', async () => {
    const held: Record<string, string> = { [sheet.path]: 'old' };
    expect(await writeWhole(filesWith(held), sheet, bytes, '7', () => true)).toBe(true);
    expect(held).toEqual({ [sheet.path]: 'new' });
  });

  it.each(['write', 'half', 'rename'] as const)('leaves the old one as it was where it cannot %s', async (refuse) => {
    const held: Record<string, string> = { [sheet.path]: 'old' };
    await expect(writeWhole(filesWith(held, refuse), sheet, bytes, '7', () => true)).rejects.toThrow(/room|allowed/);
    expect(held).toEqual({ [sheet.path]: 'old' });
  });

  it('leaves the old one as it was where it is no longer wanted', async () => {
    const held: Record<string, string> = { [sheet.path]: 'old' };
    expect(await writeWhole(filesWith(held), sheet, bytes, '7', () => false)).toBe(false);
    expect(held).toEqual({ [sheet.path]: 'old' });
  });

  it('is written in the same folder first, under a name of its own', () => {
    expect(beside(sheet, '7').path).toBe('/pier/.sign sheet.pdf.7.part');
    expect(beside(new At('bare'), '8').path).toBe('.bare.8.part');
  });
});

describe('papers as files', () => {
  it('are named after their design', () => {
    expect(suggestedName('/pier/berth-sign.lobe', 'sheet', true)).toBe('berth-sign sheet.pdf');
    expect(suggestedName('/pier/berth-sign.lobe', 'cards', false)).toBe('berth-sign cards.html');
    expect(suggestedName('Untitled-1', 'report', true)).toBe('Untitled-1 report.txt');
  });

  it('are made as their ending says, and by no other', () => {
    const sheets = formatsOf('sheet', true);
    expect(['a.pdf', 'a.HTML', 'a.htm', 'a.txt', 'a.json'].map((path) => formatOf(path, sheets))).toEqual([
      'pdf',
      'html',
      'html',
      'text',
      'json',
    ]);
    for (const path of ['/a.pdf/b', 'pdf', 'a.docx', '']) expect(formatOf(path, sheets), path).toBeUndefined();
    expect(formatOf('a.pdf', formatsOf('sheet', false))).toBeUndefined();
    expect(formatOf('a.html', formatsOf('report', true))).toBeUndefined();
  });
});
