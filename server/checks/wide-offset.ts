import { at, type Check, fix, millimetres, named, rewriting, roundUp } from './check.ts';
import { lampBoard } from './examples.ts';

export const wideOffset: Check = {
  code: 'wide-offset',
  severity: 'error',
  title: 'A follower whose line passes beside its cam',
  means:
    'The line along which the nose slides passes the shaft further off than the prime radius, so that the lowered nose ' +
    'does not touch the base circle at all. No shape can be reckoned for this cam.',
  reckoned: '|offset| < base + nose, for √(r₀² − e²) to be real.',
  source: 'Derived here.',
  worked: 'Base 20 mm and nose 1.5 mm make a prime radius of 21.5 mm; a line that passes the shaft at 25 mm misses it.',
  remedy: 'Less offset, or a greater base. An offset of a few millimetres is enough to ease a rise.',
  examples: [
    { title: 'Past the cam', text: lampBoard({ left: 'segment left { azimuth 180 deg   offset «25 mm» }' }) },
    { title: 'A little aside', text: lampBoard({ left: 'segment left { azimuth 180 deg   offset 2 mm }' }) },
  ],
  find(m, f) {
    return m.cams.flatMap((cam) => {
      const segment = named(m.segments, cam.segments[0]?.name);
      if (!cam.base || !segment?.nose || segment.follower.value.kind !== 'round') return [];
      const offset = Math.abs(segment.offset.value);
      const prime = cam.base.value + segment.nose.value;
      if (offset < prime) return [];
      const least = Math.max(named(f.cams, cam.name)?.smallestBase ?? 0, offset - segment.nose.value + 0.5);
      const base = millimetres(roundUp(least, 0.5));
      return [
        {
          message: `bar ${segment.name} passes ${cam.shaft?.name ?? 'its shaft'} at ${millimetres(offset)}, beside the prime circle of ${cam.name}, whose radius is ${millimetres(prime)}`,
          place: segment.offset.place,
          about: [segment.name, cam.name],
          figures: { offset, primeRadius: prime },
          related: [at(cam.base.place, `the base of ${cam.name}`)],
          fixes: [
            fix(`Take the offset of ${segment.name} away`, rewriting(segment.offset, segment, 'offset', '0 mm')),
            fix(`Give ${cam.name} base ${base}`, rewriting(cam.base, cam, 'base', base)),
          ],
        },
      ];
    });
  },
};
