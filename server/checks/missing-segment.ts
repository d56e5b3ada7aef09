import { type Change, isUnclear, type Mechanism, type Segment } from '../../language/mechanism.ts';
import { at, type Check, fix, isUnique, litBy, symbols } from './check.ts';
import { lampBoard } from './examples.ts';

export const missingSegment: Check = {
  code: 'missing-segment',
  severity: 'error',
  title: 'The glyphs show a segment that the mechanism lacks',
  means:
    'A counted symbol shows a segment for which the mechanism has no bar. Whatever the cams do, the symbol will be ' +
    'seen without it.',
  reckoned: 'The segments of every counted symbol are looked up among those of the mechanism.',
  source: 'The design itself.',
  worked: 'A numeral with bars a to f on the table `decimal`: 2, 3, 4, 5, 6, 8 and 9 lack their middle, g.',
  remedy: 'Add the segment and its cam, or choose a glyph table that does without it.',
  examples: [
    {
      title: 'A bar forgotten',
      text: lampBoard({ glyphs: 'glyphs «lamps»', right: '', camR: '' }),
    },
    { title: 'All bars there', text: lampBoard() },
  ],
  find(m) {
    if (!m.glyphs || !m.count || !m.segments.length || isUnclear(m, 'segment')) return [];
    const known = litBy(m.glyphs.value);
    const counted = m.count.symbols.map(({ text }) => text).filter(isUnique);
    const wanted = counted.flatMap((symbol) => [...(known.get(symbol) ?? [])]).filter(isUnique);
    const missing = wanted.filter((name) => !m.segments.some((segment) => segment.name === name));
    const strangers = m.segments.filter(({ name }) => !wanted.includes(name));
    return missing.map((name) => {
      const showing = counted.filter((symbol) => known.get(symbol)?.has(name));
      const entries = m.glyphs!.value.entries.filter(({ symbol }) => showing.includes(symbol));
      const [stranger] = strangers;
      const renamed = missing.length === 1 && strangers.length === 1;
      return {
        message: `glyph table ${m.glyphs!.value.name} shows segment ${name} in ${symbols(showing)}, and ${m.name} has no such segment${
          renamed ? `; is it the one called ${stranger.name}?` : '; add it with its cam'
        }`,
        place: m.glyphs!.place,
        about: [m.name, name],
        figures: { segment: name, symbols: showing },
        positions: m.count!.symbols.flatMap(({ text }, i) => (showing.includes(text) ? [i] : [])),
        related: [
          ...entries.slice(0, 1).map((entry) => at(entry.place, 'shown here first')),
          ...(renamed ? [at(stranger.place, `${stranger.name} is in no counted symbol`)] : []),
        ],
        fixes: renamed ? [fix(`Call segment ${stranger.name} ${name}`, ...renaming(m, stranger, name))] : [],
      };
    });
  },
};

function renaming(m: Mechanism, segment: Segment, name: string): Change[] {
  const used = [
    ...m.cams.flatMap((cam) => cam.segments),
    ...m.springs.flatMap((spring) => spring.returns),
    ...m.bands.flatMap((band) => band.around),
  ].filter((reference) => reference.name === segment.name);
  return [segment.place, ...used.map(({ place }) => place)].map((place) => ({ do: 'replace', place, text: name }));
}
