import { describe, expect, it } from 'vitest';
import { createLobeServices, readDesign } from '../../../language/services.ts';
import { analyse } from '../../../server/analysis.ts';
import { gearedBoard, lampBoard } from '../../../server/checks/examples.ts';
import { type PartsSupply, partFilesOf } from '../../../server/lsp/part-files.ts';
import * as maker from '../../../server/outputs/parts/maker.ts';
import type { PartFilesOfResult } from '../../../server/protocol.ts';

const services = createLobeServices();
const make = () => maker;

async function ask(
  text: string,
  formats: readonly string[],
  { mechanism = null, ...more }: Partial<PartsSupply> & { mechanism?: string | null } = {},
): Promise<{ readonly result: PartFilesOfResult; readonly said: readonly string[] }> {
  const said: string[] = [];
  const analysis = analyse(readDesign(services, text), services.shared.workspace.LangiumDocuments);
  const tell = (doing: string) => said.push(doing);
  const supply = { analysis, make, isWanted: () => true, tell, ...more };
  return { result: await partFilesOf({ uri: 'memory:/a.lobe', mechanism, formats }, supply), said };
}

const board = lampBoard({ shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   bearing 6 mm }' });

describe('files of parts for the editor', () => {
  it('are those of the formats that are asked for, and the list; what is done is told', async () => {
    const { result, said } = await ask(board, ['3mf', 'svg']);
    if (!result || !('files' in result)) throw new Error(JSON.stringify(result));
    expect(result.mechanism).toBe('LampBoard');
    const names = result.files.map(({ name }) => name);
    expect(names).toEqual(expect.arrayContaining(['LampBoard.3mf', 'camL.svg', 'left.svg', 'parts.md', 'parts.csv']));
    expect(names.some((name) => name.endsWith('.stl'))).toBe(false);
    const packed = Buffer.from(result.files.find(({ name }) => name.endsWith('.3mf'))!.base64, 'base64');
    expect(packed.subarray(0, 2).toString()).toBe('PK');
    expect(said[0]).toMatch(/^\S+ \(1 of \d+\)$/);
    expect(said.at(-1)).toMatch(/^full turn, \d+ %$/);
  });

  it('are none once nobody waits', async () => {
    let left = 4;
    const { result, said } = await ask(board, ['3mf'], { isWanted: () => left-- > 0 });
    expect(result).toBeNull();
    expect(said.some((doing) => doing.startsWith('full turn'))).toBe(false);
  });

  it('are of one mechanism, which is named where there are several', async () => {
    const two = `${board}\n${gearedBoard().replace(/glyphs lamps \{[^}]*\}\n$/, '')}`;
    expect((await ask(two, ['csv'])).result).toEqual({ choose: ['LampBoard', 'GearedBoard'] });
    expect((await ask(two, ['csv'], { mechanism: 'nobody' })).result).toEqual({ choose: ['LampBoard', 'GearedBoard'] });
    expect((await ask(two, ['csv'], { mechanism: 'LampBoard' })).result).toMatchObject({ mechanism: 'LampBoard' });
  });

  it('are refused in a sentence where there can be none', async () => {
    const because = async (...asked: Parameters<typeof ask>) => (await ask(...asked)).result;
    expect(await because('', ['3mf'])).toEqual({ because: 'The design holds no mechanism.' });
    expect(await because(board, ['obj'])).toEqual({
      because: 'There is no such format; there are 3mf, stl, step, dxf, svg, csv.',
    });
    expect(await because(board, ['3mf'], { make: undefined })).toEqual({
      because: expect.stringContaining('A browser makes no parts'),
    });
    expect(await because('mechanism { {', ['3mf'])).toEqual({ because: expect.any(String) });
  });
});
