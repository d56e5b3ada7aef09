import { type Check, type Found, fix, named } from './check.ts';
import { banded } from './examples.ts';
import { springCaution } from './springs.ts';

export const untouchedAnchor: Check = {
  code: 'untouched-anchor',
  severity: 'warning',
  title: 'A band that does not touch what it is to go round',
  means:
    'At no rest position does the band touch this hook or post: it runs past on the inner side, and nothing pulls the bar back. ' +
    `A hint where it is a post, which then stands for nothing. ${springCaution}`,
  reckoned:
    'The belt over posts and hooks in counter-clockwise order; an anchor at which it would have to bend the other way is left out.',
  source: 'Derived here.',
  worked:
    'Posts of radius 2 mm at −50 mm, ±30 mm and a hook between them at −38 mm, 0 mm: the band runs straight at x = −52 mm, 14 mm ' +
    'outside the hook.',
  remedy:
    'Name the anchors counter-clockwise; say `inside` before a post that the band passes on its other side; or move it out.',
  examples: [
    {
      title: 'A hook within the loop',
      text: banded('loop 140 mm', 'around north, west, «left», south, right').replace(
        'band rim',
        'post north { at 0 mm, 30 mm   radius 2 mm }\n  post west { at -50 mm, 30 mm   radius 2 mm }\n  post south { at -50 mm, -30 mm   radius 2 mm }\n  band rim',
      ),
    },
    { title: 'Round both hooks', text: banded('loop 116 mm') },
  ],
  find(m, f) {
    return m.bands.flatMap((band) => {
      const { untouched = [] } = named(f.bands, band.name) ?? {};
      return untouched.flatMap((name): Found[] => {
        const anchor = band.around.find((one) => one.name === name)!;
        const bar = named(m.segments, name);
        return [
          {
            severity: bar ? 'warning' : 'hint',
            message: bar
              ? `band ${band.name} touches the hook of bar ${name} at no rest position, and does not pull it back`
              : `band ${band.name} touches post ${name} at no rest position`,
            place: anchor.place,
            about: [band.name, name],
            figures: {},
            // A hook passed on the other side would be pulled outwards.
            fixes:
              anchor.inside || bar
                ? []
                : [
                    fix(`Pass ${name} on the other side`, {
                      do: 'replace',
                      place: { ...anchor.place, to: anchor.place.from },
                      text: 'inside ',
                    }),
                  ],
          },
        ];
      });
    });
  },
};
