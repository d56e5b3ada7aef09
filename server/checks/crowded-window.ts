import { at, type Check, type Found, fix, isUnique, list, named, plain, setting, symbols } from './check.ts';
import { isClear, kin } from './clashes.ts';
import { lampBoard } from './examples.ts';

export const crowdedWindow: Check = {
  code: 'crowded-window',
  severity: 'warning',
  title: 'Another bar shows through a window',
  means:
    'Through the window of a segment the reader sees part of another segment’s bar: the segment looks shown when it is ' +
    'hidden, or a stranger covers it when it is shown.',
  reckoned:
    'At every rest position, what of each bar lies behind the window and is not covered by bars on planes before it, as a ' +
    'share of the window. Told where all others together take more than `hidden` of it.',
  source: 'Derived here.',
  worked:
    'A window of 4 mm by 20 mm over which a neighbour’s bar reaches by 1 mm along its whole height shows 25 % of it.',
  remedy: 'Bars or windows further apart, a smaller window, or a plane on which the window’s own bar covers the other.',
  notBeside: ['undriven-segment', 'twice-driven-segment', 'shaft-drift', 'unmeshed-shaft', 'bar-clash'],
  examples: [
    {
      title: 'A neighbour in the window',
      text: lampBoard({
        left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   window «3 mm by 20 mm at -43.5 mm, 0 mm» }',
        right:
          'segment right { azimuth 0 deg   bar 88 mm by 4 mm at 0 mm, 0 mm plane 2   post 2 mm by 4 mm at 42 mm, 0 mm }',
      }),
    },
    { title: 'A window of its own', text: lampBoard() },
  ],
  find(m, f, told) {
    const most = m.limits.hidden.value;
    return f.encounters.windows.flatMap(({ segment: name, rests }): Found[] => {
      const segment = named(m.segments, name);
      if (!segment?.window || !isClear(m, f, [name])) return [];
      const crowded = rests.flatMap(({ others }, index) => {
        const strangers = others.filter(({ segment }) => isClear(m, f, [segment]) && !told(...kin(f, [name, segment])));
        const share = strangers.reduce((sum, other) => sum + other.share, 0);
        return share > most + 1e-9 ? [{ index, share, strangers: strangers.map((other) => other.segment) }] : [];
      });
      if (crowded.length === 0) return [];
      const strangers = crowded.flatMap((one) => one.strangers).filter(isUnique);
      const worst = crowded.reduce((a, b) => (b.share > a.share ? b : a));
      const shown = crowded.map(({ index }) => f.positions[index]?.symbol ?? '').filter((text) => text !== '');
      const plane = segment.bar && String(segment.bar.value.plane + 1);
      const before = strangers.filter((one) => {
        const bar = named(m.segments, one)?.bar?.value;
        return bar && segment.bar && bar.plane <= segment.bar.value.plane;
      });
      return [
        {
          message: `through the window of ${name} shows bar ${list(strangers)} as well, ${
            crowded.length > 1 ? 'up to ' : ''
          }${plain(100 * worst.share, 0)} % of it, at ${symbols(shown)} (hidden is up to ${plain(100 * most, 0)} %)`,
          place: segment.window.place,
          about: [name, ...strangers],
          figures: { share: worst.share, limit: most, at: shown.filter(isUnique), strangers },
          positions: crowded.map(({ index }) => index),
          related: strangers.flatMap((one) => {
            const bar = named(m.segments, one)?.bar;
            return bar ? [at(bar.place, `bar ${one}`)] : [];
          }),
          fixes:
            plane && before.length > 0
              ? [fix(`Put ${list(before)} on plane ${plane}`, ...before.map((one) => setting(one, 'bar plane', plane)))]
              : [],
        },
      ];
    });
  },
};
