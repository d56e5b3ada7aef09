import type { Figures } from '../reckon/figures.ts';
import { greatestStretch } from '../reckon/force/rubber.ts';
import { type Check, type Found, fix, millimetres, named, rewriting, roundDown, symbols } from './check.ts';
import { banded } from './examples.ts';
import { springCaution } from './springs.ts';

/** The loosest band that still pulls: what its maker would call taut (common practice). */
const tautStretch = 1.3;

export const slackBand: Check = {
  code: 'slack-band',
  severity: 'warning',
  title: 'A band longer than its path',
  means:
    'At some rest positions the band’s way round its posts and hooks is no longer than its free loop: it hangs loose there, pulls ' +
    `nothing, and may slip off. An error where it does so at all of them. ${springCaution}`,
  reckoned:
    'λ = path/loop at every rest position, with the path of a belt over posts and hooks; slack where λ ≤ 1. The loop that would do is the ' +
    'shortest path over 1.3.',
  source: 'Derived here; 1.3 for a taut band is common practice.',
  worked: 'Two hooks 76 mm apart: a path of 152 mm. A loop of 155 mm hangs loose; one of 116 mm is stretched to 1.31.',
  remedy: 'A shorter loop, or posts further out.',
  examples: [
    { title: 'Loose at one symbol', text: banded('loop «155 mm»') },
    { title: 'Loose at all of them', text: banded('loop «170 mm»') },
    { title: 'Taut', text: banded('loop 116 mm') },
  ],
  find(m, f) {
    return m.bands.flatMap((band): Found[] => {
      const figure = named(f.bands, band.name);
      if (!band.loop || !figure?.stretch) return [];
      const slack = figure.stretch.flatMap((stretch, i) => (stretch <= 1 + 1e-9 ? [i] : []));
      if (!slack.length) return [];
      const shortest = Math.min(...figure.path);
      const loop = roundDown(shortest / tautStretch, 1);
      const would = loop >= 1 && Math.max(...figure.path) / loop <= greatestStretch ? millimetres(loop) : undefined;
      return [
        {
          severity: slack.length === figure.path.length ? 'error' : 'warning',
          message: `band ${band.name} hangs loose at ${symbolsAt(f, slack)}: its loop is ${millimetres(band.loop.value)}, its path there ${
            slack.length > 1 ? 'as little as ' : ''
          }${millimetres(shortest)}${would ? `; loop ${would} would do` : ''}`,
          place: band.loop.place,
          about: [band.name],
          figures: { loop: band.loop.value, path: shortest, stretch: shortest / band.loop.value },
          positions: slack,
          fixes: would ? [fix(`Give ${band.name} loop ${would}`, rewriting(band.loop, band, 'loop', would))] : [],
        },
      ];
    });
  },
};

function symbolsAt({ positions }: Figures, at: readonly number[]): string {
  return at.length === positions.length ? 'every symbol' : symbols(at.map((i) => positions[i].symbol));
}
