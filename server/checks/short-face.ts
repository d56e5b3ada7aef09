import { at, azimuth, type Check, fix, inDegrees, millimetres, named, rewriting, roundUp } from './check.ts';
import { lampBoard } from './examples.ts';

const flat = (stem: string) => ({
  left: `segment left { azimuth 180 deg   bar 4 mm by 20 mm at -40 mm, 0 mm   follower flat   stem ${stem} }`,
});

export const shortFace: Check = {
  code: 'short-face',
  severity: 'error',
  title: 'A flat face that its cam runs off',
  means:
    'On its flanks a cam touches a flat face beside its middle. Here it does so farther out than the face reaches: the cam ' +
    'rides on the face’s edge, and the bar stands lower than reckoned.',
  reckoned:
    'Contact stands s′ = ds/dψ (mm/rad) off the line through the shaft, so the face, whose middle the offset e carries ' +
    'aside, must be 2 · max |s′ − e| wide. `stem` is its width; where it is not stated, the face is as wide as that.',
  source: 'Any handbook of cam design, on flat-faced followers; derived here.',
  worked: 'Simple harmonic, 3 mm in 60°: s′ reaches π · 3/(2 · 1.047) = 4.5 mm, so the face must be 9 mm wide.',
  remedy: 'A wider face, or a longer travel; a greater base does not help.',
  notBeside: ['shaft-drift'],
  examples: [
    { title: 'A face like a stem', text: lampBoard(flat('«4 mm»')) },
    { title: 'A face that will do', text: lampBoard(flat('14 mm')) },
  ],
  find(m, f, told) {
    return f.cams.flatMap((figure) => {
      const { name, faceReach, segments } = figure;
      const [cam, segment] = [named(m.cams, name), named(m.segments, segments[0])];
      const stem = segment?.stem;
      if (!cam || !segment || !stem || !faceReach || told(name) || segment.unclear.length + cam.unclear.length > 0)
        return [];
      const least = 2 * faceReach.value;
      if (stem.value >= least - 1e-6) return [];
      const text = millimetres(roundUp(least, 0.1));
      return [
        {
          message:
            `the face of ${segment.name} is ${millimetres(stem.value, 2)} wide, and ${name} touches it up to ` +
            `${millimetres(faceReach.value, 2)} off its middle, at ${azimuth(faceReach.at, 0)}; stem ${text} would do`,
          place: stem.place,
          about: [segment.name, name],
          figures: { stem: stem.value, faceReach: faceReach.value, at: inDegrees(faceReach.at), least },
          angles: [faceReach.at],
          related: [at(cam.place, `${name} drives ${segment.name}`)],
          fixes: [fix(`Give ${segment.name} stem ${text}`, rewriting(stem, segment, 'stem', text))],
        },
      ];
    });
  },
};
