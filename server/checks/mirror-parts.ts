import { at, type Check, list, named } from './check.ts';
import { lampBoard } from './examples.ts';

export const mirrorParts: Check = {
  code: 'mirror-parts',
  severity: 'hint',
  title: 'Parts that are easily taken for each other',
  means:
    'Two parts are one shape but for a mirror or a turn on their key: nothing but a mark tells them apart, and the numeral put ' +
    'together with one in the other’s place shows wrong symbols. The export engraves each part’s name where there is room, and this says where there is ' +
    'none. Told once nothing graver is wrong.',
  reckoned:
    'Cams by their lift (alike to a thousandth of the stroke, turned to every lobe) and all that it is cut with, ' +
    'other parts by the outlines of their slabs and of these turned over. Parts that are the same as they go onto their key may be ' +
    'mixed, and are not told; gears bear timing marks.',
  source: 'Derived here.',
  worked:
    'A bar raised at one symbol, and another at the next: with one base, law and travel their cams are one, turned by a step.',
  remedy:
    'Keep the engraved names, or mark the parts, and accept it: `accept mirror-parts "every part bears its name"`.',
  late: true,
  last: true,
  examples: [
    {
      title: 'One cam, turned by a step',
      text: lampBoard({
        shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { shape flat   outer 12 mm }',
        camR: 'cam camR on axle level 2 drives right',
        camL: 'cam «camL» on axle level 1 drives left',
        count: 'count off low high',
        table: 'glyphs lamps { segments left right   off = blank   low = left   high = right }',
      }),
    },
    {
      title: 'Cams that are raised for different lengths',
      text: lampBoard({
        shaft: 'shaft axle { at 0 mm, 0 mm   turns clockwise   key round }\nkey round { shape flat   outer 12 mm }',
      }),
    },
  ],
  find(m, f) {
    return (f.likenesses ?? []).map(({ how, kind, parts, nameless }) => {
      const [first, ...others] = parts.map((name) => partNamed(m, name));
      const as = how === 'turned' ? 'one shape, turned on their key' : 'mirror images of each other';
      const marks =
        nameless.length === 0
          ? 'the names that the export engraves on them tell them apart'
          : `the export finds no room for the name on ${list(nameless)}: mark ${nameless.length === 1 ? 'it' : 'them'} by hand`;
      return {
        message: `${kind}s ${list(parts)} are ${as}; ${marks}`,
        place: first?.place ?? m.place,
        about: parts,
        related: others.flatMap((part) => (part ? [at(part.place, `${part.name} is like it`)] : [])),
      };
    });
  },
};

const partNamed = (m: Parameters<Check['find']>[0], name: string) =>
  named(m.cams, name) ??
  named(m.gears, name) ??
  named(m.segments, name) ??
  named(m.shafts, name) ??
  named(m.ratchets, name);
