import type { Fix, Ratchet } from '../../language/mechanism.ts';
import { armForce, armStrain } from '../reckon/force/push.ts';
import { at, type Check, fix, millimetres, plain, rewriting, roundDown, roundUp } from './check.ts';
import { pushedBoard } from './examples.ts';

const push = 'push button turns axle { arm 14 mm   start -17 deg   stroke 8.2 mm }';
const click = (more: string) => `ratchet click on axle { teeth 12   play 0.5 deg   ${more} }`;

export const tiredArm: Check = {
  code: 'tired-arm',
  severity: 'warning',
  title: 'A pawl’s arm that is bent too far',
  means:
    'At every step the pawl is lifted over a tooth, and its arm is bent at the root by more than its material bears again and ' +
    'again: it stays bent, or cracks between its layers.',
  reckoned:
    'ε = 3tδ/(2L²) at the root of a straight arm of length L and thickness t whose end is bent by δ, against the material’s ' +
    '`strain`; its force is F = E·b·t³·δ/(4L³).',
  source:
    'Beam theory; the same in Bayer, Snap-Fit Joints for Plastics. The library’s strains are common practice for printed parts that ' +
    'bend often; what a data sheet calls elongation at break is several times more, and no limit for an arm that works.',
  worked:
    'An arm 20 mm long, 1.2 mm thick, 6 mm wide, bent by 2.5 mm: 1.13 %, where pla bears 1 %; it presses with 2.4 N.',
  remedy: 'A longer or thinner arm, a lower tooth; print it flat, so that its layers run along it.',
  examples: [
    {
      title: 'Bent too far',
      text: pushedBoard(push, click('arm 20 mm by 1.2 mm by 6 mm   deflection «2.5 mm»')),
    },
    { title: 'A longer arm', text: pushedBoard(push, click('arm 24 mm by 1.2 mm by 6 mm   deflection 2.5 mm')) },
  ],
  find(m) {
    return m.ratchets.flatMap((ratchet) => {
      const { arm, deflection } = ratchet;
      const { name: material, strain, modulus } = ratchet.process.material;
      if (!arm || !deflection || !strain) return [];
      const bent = armStrain(arm.value, deflection.value);
      if (bent <= strain.value + 1e-9) return [];
      const force = modulus && armForce(arm.value, deflection.value, modulus.value);
      const presses = force === undefined ? '' : ` (and pressed with ${plain(force, 2)} N)`;
      const fixes = armFixes(ratchet, strain.value);
      const least = leastLength(ratchet, strain.value);
      return [
        {
          message: `the arm of ${ratchet.name}, bent by ${millimetres(deflection.value, 2)}, is strained by ${percent(bent)}${presses}, but ${material} bears ${percent(strain.value)}; a length of ${millimetres(least)} would do`,
          place: deflection.place,
          about: [ratchet.name],
          figures: {
            strain: 100 * bent,
            limit: 100 * strain.value,
            ...(force !== undefined && { force }),
            length: least,
          },
          related: [at(arm.place, `the arm of ${ratchet.name}`)],
          fixes,
        },
      ];
    });
  },
};

const percent = (share: number): string => `${plain(100 * share, 2)} %`;

/** The length at which the arm bears it, up to the next half millimetre. */
function leastLength({ arm, deflection }: Ratchet, strain: number): number {
  return roundUp(Math.sqrt((1.5 * arm!.value.thickness * deflection!.value) / strain), 0.5);
}

function armFixes(ratchet: Ratchet, strain: number): Fix[] {
  const [arm, deflection] = [ratchet.arm!, ratchet.deflection!];
  const { length, thickness, width } = arm.value;
  const written = (long: number, thick: number) =>
    `${millimetres(long, 2)} by ${millimetres(thick, 2)} by ${millimetres(width, 3)}`;
  const longer = written(leastLength(ratchet, strain), thickness);
  const thin = roundDown((2 * length ** 2 * strain) / (3 * deflection.value), 0.05);
  const less = roundDown((2 * length ** 2 * strain) / (3 * thickness), 0.05);
  return [
    fix(`Make the arm of ${ratchet.name} ${longer}`, rewriting(arm, ratchet, 'arm', longer)),
    ...(thin > ratchet.process.nozzle.value
      ? [
          fix(
            `Make the arm of ${ratchet.name} ${written(length, thin)}`,
            rewriting(arm, ratchet, 'arm', written(length, thin)),
          ),
        ]
      : []),
    ...(less > 0
      ? [
          fix(
            `Bend it by ${millimetres(less, 2)} only`,
            rewriting(deflection, ratchet, 'deflection', millimetres(less, 2)),
          ),
        ]
      : []),
  ];
}
