import { type Check, named } from './check.ts';
import { framedBoard } from './examples.ts';

const loop = (peg: string) =>
  framedBoard(
    `frame { }
post pin { at 0 mm, 60 mm   radius 2 mm }
post peg { at ${peg}   radius 2 mm }
band rim { around right, pin, left, peg   section 1.5 mm by 1.5 mm   loop 150 mm   shear 0.4 MPa }`,
    {
      left: 'segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   hook at -38 mm, 0 mm }',
      right: 'segment right { azimuth 0 deg   bar 4 mm by 20 mm at 40 mm, 0 mm   hook at 38 mm, 0 mm }',
    },
  );

export const unheldPost: Check = {
  code: 'unheld-post',
  severity: 'error',
  title: 'A post that stands on neither plate of the frame',
  means:
    'A post for a band reaches from the face plate back to the band, or from the back plate forward to it. Here something ' +
    'that moves passes both ways.',
  reckoned:
    'The post’s circle, with the process’s clearance, against all that cams, flanges, gears and bars sweep over a turn, ' +
    'between the band and either plate. A band lies behind the deepest stem that it pulls.',
  source: 'Derived here.',
  worked: 'A post of 2 mm at 22 mm from a shaft whose flanges reach to 24.5 mm, before and behind the band.',
  remedy: 'A post outside all that turns; or smaller flanges.',
  examples: [
    { title: 'A post among the flanges', text: loop('«0 mm, -22 mm»') },
    { title: 'A post beside them', text: loop('0 mm, -60 mm') },
  ],
  find(m, f) {
    return (f.frame?.unheld ?? []).flatMap(({ post: name, by }) => {
      const post = named(m.posts, name);
      if (!post) return [];
      return [
        {
          message: `post ${name} stands on neither plate of the frame: ${by} passes there`,
          place: post.at?.place ?? post.place,
          about: [name, by],
        },
      ];
    });
  },
};
