import { describe, expect, it } from 'vitest';
import { type Folder, manifestName, putInto } from '../../../../server/outputs/parts/folder.ts';

const bytes = (text: string) => new TextEncoder().encode(text);

/** A folder in memory; the deed of a number, counted from 1, fails. */
function folderOf(held: Map<string, string>, failing = Infinity): Folder & { readonly deeds: () => number } {
  let deeds = 0;
  const deed = () => {
    if (++deeds === failing) throw new Error('no room left');
  };
  return {
    deeds: () => deeds,
    read: async (name) => (held.has(name) ? bytes(held.get(name)!) : undefined),
    async write(name, content) {
      deed();
      held.set(name, new TextDecoder().decode(content));
    },
    async move(from, to) {
      deed();
      if (!held.has(from) || held.has(to)) throw new Error(`cannot move ${from} to ${to}`);
      held.set(to, held.get(from)!);
      held.delete(from);
    },
    async remove(name) {
      for (const one of [...held.keys()]) if (one === name || one.startsWith(`${name}/`)) held.delete(one);
    },
  };
}

const put = (folder: Folder, files: Record<string, string>, more: Partial<Parameters<typeof putInto>[2]> = {}) =>
  putInto(folder, new Map(Object.entries(files).map(([name, text]) => [name, bytes(text)])), {
    force: false,
    isWanted: () => true,
    mark: '7',
    ...more,
  });
const shown = (held: Map<string, string>) =>
  Object.fromEntries([...held].filter(([name]) => name !== manifestName).sort());

/** A folder after an export, a note of the maker's in it. */
async function exported(): Promise<Map<string, string>> {
  const held = new Map([['notes.txt', 'mine']]);
  await put(folderOf(held), { 'a.stl': 'a1', 'b.stl': 'b1' });
  return held;
}

describe('files put into a folder', () => {
  it('are all there, and nothing else is', async () => {
    const held = await exported();
    expect(shown(held)).toEqual({ 'a.stl': 'a1', 'b.stl': 'b1', 'notes.txt': 'mine' });
    expect(await put(folderOf(held), { 'a.stl': 'a1', 'b.stl': 'b2', 'c.stl': 'c2' })).toEqual({
      written: ['b.stl', 'c.stl'],
      removed: [],
    });
    expect(shown(held)).toEqual({ 'a.stl': 'a1', 'b.stl': 'b2', 'c.stl': 'c2', 'notes.txt': 'mine' });
    // What an earlier export wrote is ours still.
    expect(Object.keys(JSON.parse(held.get(manifestName)!))).toEqual(['a.stl', 'b.stl', 'c.stl']);
  });

  it('take the place of beds of an earlier export, however many there were, but of none that was changed since', async () => {
    const held = await exported();
    await put(folderOf(held), { 'Sign.3mf': 'all', 'Tide.3mf': 'other', 'Sign-b.3mf': 'another' });
    const two = { 'Sign-1.3mf': 'some', 'Sign-2.3mf': 'more' };
    expect(await put(folderOf(held), two)).toEqual({ written: ['Sign-1.3mf', 'Sign-2.3mf'], removed: ['Sign.3mf'] });
    held.set('Sign-2.3mf', 'mine');
    expect(await put(folderOf(held), { 'Sign.3mf': 'all' })).toEqual({
      written: ['Sign.3mf'],
      removed: ['Sign-1.3mf'],
    });
    expect(Object.keys(shown(held))).toEqual([
      'Sign-2.3mf',
      'Sign-b.3mf',
      'Sign.3mf',
      'Tide.3mf',
      'a.stl',
      'b.stl',
      'notes.txt',
    ]);
    // Whatever fails, the old ones are back.
    await put(folderOf(held), { 'Sign-1.3mf': 'some' });
    const whole = folderOf(new Map(held));
    await put(whole, { 'Sign.3mf': 'all' });
    for (let failing = 1; failing <= whole.deeds(); failing++) {
      const again = new Map(held);
      await expect(put(folderOf(again, failing), { 'Sign.3mf': 'all' })).rejects.toThrow('no room left');
      expect(again).toEqual(held);
    }
  });

  it('leave the folder as it was, whatever fails at whatever point', async () => {
    const files = { 'a.stl': 'a2', 'b.stl': 'b2', 'c.stl': 'c2' };
    const whole = folderOf(await exported());
    await put(whole, files);
    expect(whole.deeds()).toBeGreaterThan(10);
    for (let failing = 1; failing <= whole.deeds(); failing++) {
      const held = await exported();
      const before = new Map(held);
      await expect(put(folderOf(held, failing), files), `deed ${failing}`).rejects.toThrow('no room left');
      expect(held, `deed ${failing}`).toEqual(before);
    }
  });

  it('leave it as it was where nobody wants them any more', async () => {
    const held = await exported();
    const before = new Map(held);
    expect(await put(folderOf(held), { 'a.stl': 'a2' }, { isWanted: () => false })).toEqual({ cancelled: true });
    expect(held).toEqual(before);
  });

  it('take the place of no file that is not ours, or was changed since, unless that is said', async () => {
    const held = await exported();
    held.set('b.stl', 'filed by hand');
    const before = new Map(held);
    const files = { 'a.stl': 'a2', 'b.stl': 'b2', 'notes.txt': 'ours', toString: 'odd' };
    expect(await put(folderOf(held), files)).toEqual({ strange: ['b.stl', 'notes.txt'] });
    expect(held).toEqual(before);
    await put(folderOf(held), files, { force: true });
    expect(shown(held)).toEqual(files);
  });

  it('read a list of ours that is no list as none', async () => {
    for (const list of ['', '[]', 'null', '{"a.stl": 7}', 'not json']) {
      const held = new Map([
        ['a.stl', 'a1'],
        [manifestName, list],
      ]);
      expect(await put(folderOf(held), { 'a.stl': 'a2' }), list).toEqual({ strange: ['a.stl'] });
    }
  });

  it('keep aside what could not go back', async () => {
    const held = await exported();
    let moves = 0;
    const folder = folderOf(held);
    const stubborn: Folder = {
      ...folder,
      move: async (from, to) => {
        if (++moves >= 4) throw new Error('gone');
        return folder.move(from, to);
      },
    };
    await expect(put(stubborn, { 'a.stl': 'a2', 'b.stl': 'b2' })).rejects.toThrow('gone');
    expect([...held.values()]).toEqual(expect.arrayContaining(['a1', 'b1', 'mine']));
  });
});
