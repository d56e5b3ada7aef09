import { at, type Check, isUnique, named } from './check.ts';
import { framedBoard } from './examples.ts';

const right = (post: string) =>
  `segment right { azimuth 0 deg   bar «8 mm by 20 mm at 5 mm, 0 mm»   post ${post} at 40 mm, 0 mm }`;

export const wideBar: Check = {
  code: 'wide-bar',
  severity: 'error',
  title: 'A bar wider than its way in',
  means:
    'Bars go into a frame from the back, each through its slot of the face plate. A bar that is larger before the plate than ' +
    'its post is within it is given a slot that lets all of it through; here a bearing stands where that slot would be.',
  reckoned:
    'What of the bar lies before the plate, as it stands at home, with its guide’s fit and the process’s clearance, against ' +
    'the bores of the shafts with a wall round them.',
  source: 'Derived here.',
  worked:
    'A bar of 8 by 20 mm at 5 mm beside a shaft covers the shaft itself; its post stands at 40 mm. The plate would have to ' +
    'be open where the shaft has its bearing.',
  remedy: 'A bar that lies beside the shaft, or a post that is as large as the bar; or another shaft that carries it.',
  notBeside: ['post-clash', 'bar-astray', 'level-clash'],
  examples: [
    { title: 'A bar over its own shaft', text: framedBoard('frame { }', { right: right('4 mm by 4 mm') }) },
    {
      title: 'A bar beside it',
      text: framedBoard('frame { }', {
        right: 'segment right { azimuth 0 deg   bar 8 mm by 20 mm at 44 mm, 0 mm   post 4 mm by 4 mm at 40 mm, 0 mm }',
      }),
    },
  ],
  find(m, f) {
    const wide = f.frame?.wide ?? [];
    const bars = wide.map(({ bar }) => bar).filter(isUnique);
    return bars.flatMap((name) => {
      const segment = named(m.segments, name);
      const shaft = named(m.shafts, wide.find(({ bar }) => bar === name)?.shaft);
      if (!segment?.bar || !shaft) return [];
      return [
        {
          message: `bar ${name} is wider than its way in: the face plate would have to be open where it carries shaft ${shaft.name}`,
          place: segment.bar.place,
          about: [name, shaft.name],
          related: [at((shaft.bearing ?? shaft).place, `${shaft.name} has its bearing there`)],
        },
      ];
    });
  },
};
