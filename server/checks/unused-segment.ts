import type { Change, Mechanism, Segment } from '../../language/mechanism.ts';
import { at, type Check, fix, wants } from './check.ts';
import { lampBoard } from './examples.ts';

export const unusedSegment: Check = {
  code: 'unused-segment',
  severity: 'warning',
  title: 'A driven segment is never shown',
  means: 'The bar has a cam, but no counted symbol shows it: bar, cam and spring are made for nothing.',
  reckoned: 'The segments of all counted symbols, against those that a cam drives.',
  source: 'The design itself.',
  worked: 'A count of `1 7` on the table `decimal`: only a, b and c are ever shown, so a cam for g does nothing.',
  remedy: 'Leave out the segment with its cam, or count a symbol that shows it. A misspelt segment name does this too.',
  notBeside: ['missing-segment', 'short-count'],
  examples: [
    {
      title: 'A bar that no counted symbol shows',
      text: lampBoard({ count: 'count off low', right: 'segment «right» { azimuth 0 deg }' }),
    },
    { title: 'Both shown', text: lampBoard() },
  ],
  find(m, _, told) {
    if (!m.count || !m.glyphs || told(m.name)) return [];
    return m.segments.flatMap((segment) => {
      const cams = m.cams.filter((cam) => cam.segments.some(({ name }) => name === segment.name));
      const wanted = wants(m, segment.name);
      if (!cams.length || !wanted.length || !wanted.every((want) => want === false)) return [];
      return [
        {
          message: `no counted symbol shows bar ${segment.name}, which ${cams[0].name} drives`,
          place: segment.place,
          about: [segment.name, cams[0].name],
          related: [at(cams[0].place, `${cams[0].name} drives ${segment.name}`)],
          fixes: [fix(`Leave out ${segment.name} and what drives it`, ...without(m, segment))],
        },
      ];
    });
  },
};

function without(m: Mechanism, segment: Segment): Change[] {
  const named = <T extends { readonly name: string }>(one: T) => one.name === segment.name;
  return [
    segment.whole,
    ...m.cams.flatMap((cam) =>
      cam.segments.every(named) ? [cam.whole] : cam.segments.filter(named).map((r) => r.place),
    ),
    ...m.springs.flatMap(({ whole, returns }) =>
      returns.length && returns.every(named) ? [whole] : returns.filter(named).map(({ place }) => place),
    ),
  ].map((place) => ({ do: 'remove', place }));
}
