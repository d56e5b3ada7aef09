/** What steps the shafts, built the other way round or off its place; and home. */
import { named } from '../../checks/check.ts';
import { turn } from '../../reckon/motion/angles.ts';
import type { Ground } from './build.ts';
import { type Faults, fitOn, type Suspect, turnInWords } from './fault.ts';

export function steppingFaults(ground: Ground): Faults {
  const kinds = [reversed(ground), wheelTurned(ground)];
  return {
    possible: [...kinds.flatMap(({ possible }) => possible), ...homeOff(ground)],
    impossible: kinds.flatMap(({ impossible }) => impossible),
    untold: [],
  };
}

type Found = Pick<Faults, 'possible' | 'impossible'>;

function reversed({ m }: Ground): Found {
  const [ratchet] = m.ratchets;
  const [push] = m.pushes;
  const what = 'the stepping built for the other direction';
  if (!ratchet && !push) return { possible: [], impossible: [{ what, because: 'no ratchet and no push step it' }] };
  if (m.runs.value === 'either') return { possible: [], impossible: [{ what, because: 'it runs either way' }] };
  const parts = [ratchet, push].flatMap((part) => (part ? [part.name] : []));
  const backwards: Suspect = {
    fault: {
      kind: 'stepping reversed',
      about: parts,
      what: `${parts.join(' and ')} ${parts.length > 1 ? 'are' : 'is'} built for the other direction`,
    },
    build: { stepsAt: (position) => -position },
  };
  const stuck = (one: string, other: string): Suspect => ({
    fault: {
      kind: 'stepping blocked',
      about: [one, other],
      what: `${one} is built for the other direction, ${other} is not`,
      note: 'it cannot be stepped',
    },
    build: { stepsAt: () => 0 },
  });
  const blocked = ratchet && push ? [stuck(ratchet.name, push.name), stuck(push.name, ratchet.name)] : [];
  return { possible: [backwards, ...blocked], impossible: [] };
}

/** A ratchet's wheel in another way of its key rests with its teeth elsewhere, and every shaft with it. */
function wheelTurned(ground: Ground): Found {
  const { m, figures } = ground;
  const [ratchet] = m.ratchets;
  const teeth = ratchet?.teeth?.value ?? 0;
  const shaft = named(figures.shafts, ratchet?.shaft?.name);
  if (!ratchet || !shaft?.ratio || !(teeth > 0)) return { possible: [], impossible: [] };
  const fit = fitOn(ground, shaft.name);
  if (fit.by !== 'key') return { possible: [], impossible: [] };
  const what = `the wheel of ${ratchet.name} turned on its shaft`;
  if (fit.ways === 1) return { possible: [], impossible: [{ what, because: `key ${fit.key} goes on in one way` }] };
  const own = shaft.ratio.num / shaft.ratio.den;
  const possible = Array.from({ length: fit.ways - 1 }, (_, i) => ((i + 1) * turn) / fit.ways).flatMap(
    (by): Suspect[] => {
      const passed = (by / turn) * teeth;
      const off = (Math.round(passed) - passed) * (turn / teeth);
      if (Math.abs(off) < 1e-9) return [];
      return [
        {
          fault: {
            kind: 'wheel turned',
            about: [ratchet.name, shaft.name],
            what: `the wheel of ${ratchet.name} is turned by ${turnInWords(by)} on key ${fit.key}`,
            by,
          },
          build: {
            ahead: new Map(
              figures.shafts.map(({ name, ratio }) => [name, ratio ? (off * ratio.num) / ratio.den / own : 0]),
            ),
          },
        },
      ];
    },
  );
  const because = `its ${teeth} teeth stand alike in all ${fit.ways} ways of key ${fit.key}`;
  return { possible, impossible: possible.length ? [] : [{ what, because }] };
}

function homeOff({ m, figures }: Ground): Suspect[] {
  const leading = figures.leading ?? '';
  // The way in which this build counts.
  const onward = m.runs.value === 'reverse' ? -1 : 1;
  return ([1, -1] as const).map((way) => ({
    fault: {
      kind: 'home off',
      about: [leading],
      what: `home of ${leading} is set a step too ${way > 0 ? 'far on' : 'early'}`,
      by: way * onward * (named(figures.shafts, leading)?.step ?? 0),
      note: `${way > 0 ? 'step it on all the way round' : 'step it on once'}: nothing needs to be taken apart`,
    },
    build: { stepsAt: (position) => position + way * onward },
  }));
}
