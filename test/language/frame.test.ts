import { describe, expect, it } from 'vitest';
import { mechanismOf } from './reading.ts';

const frameOf = (text: string) => {
  const { mechanism, problems } = mechanismOf(text);
  return { frame: mechanism.frame, defaults: mechanism.defaults, problems };
};

describe('a frame', () => {
  it('is none where none is said', () => expect(frameOf('').frame).toBeUndefined());

  it('needs nothing said, and says what it takes for granted', () => {
    const { frame, defaults, problems } = frameOf('frame { }');
    expect(problems).toEqual([]);
    expect([frame!.thickness.value, frame!.margin.value, frame!.at]).toEqual([4, 4, []]);
    expect(frame!.screws.value).toMatchObject({ diameter: 3, head: 'socket', hole: 3.4 });
    expect(defaults.filter(({ of }) => of.startsWith('frame.')).map(({ of, value }) => [of, value])).toEqual([
      ['frame.thickness', '4 mm'],
      ['frame.margin', '4 mm'],
      ['frame.screws', '3 mm socket'],
    ]);
  });

  it('says thickness, margin, screws and their places, and its process', () => {
    const { frame, problems } = frameOf(
      'frame { thickness 5 mm   margin 2 mm   screws 4 mm cross   screw at 1 cm, 2 mm   screw at -10 mm, 2 mm   made with filament }',
    );
    expect(problems).toEqual([]);
    expect([frame!.thickness.value, frame!.margin.value]).toEqual([5, 2]);
    expect(frame!.screws.value).toMatchObject({ diameter: 4, head: 'cross' });
    expect(frame!.at.map(({ value }) => value)).toEqual([{ x: 10, y: 2 }, { x: -10, y: 2 }]); // biome-ignore format: a list
  });

  it('takes the head that there is for a diameter where none is said', () => {
    const { frame, defaults } = frameOf('frame { screws 2.5 mm }');
    expect(frame!.screws.value.head).toBe('cross');
    expect(defaults.map(({ of, value }) => [of, value])).toContainEqual(['frame.screws head', 'cross']);
  });

  it('tells of screws that there are none of, and offers the nearest', () => {
    const { frame, problems } = frameOf('frame { screws 2.6 mm socket }');
    expect(problems.map(({ message }) => message)).toEqual([
      'screws with a socket come in 3 mm, 4 mm, 5 mm here, found 2.6 mm; 3 mm would do',
    ]);
    expect(problems[0]!.fixes[0]!.changes).toMatchObject([{ do: 'replace', text: '3 mm' }]);
    expect(frame!.unclear).toEqual(['screws']);
  });

  it('is said once', () => {
    expect(frameOf('frame { } frame { thickness 5 mm }').problems.map(({ code }) => code)).toEqual(['said-twice']);
    expect(frameOf('frame { thickness 5 mm   thickness 6 mm }').problems.map(({ code }) => code)).toEqual([
      'said-twice',
    ]);
  });
});
