/** The build sheet as JSON: lengths mm, angles deg, forces N, torques N·mm; numbers rounded to a millionth. */
import { degrees } from '../../reckon/motion/angles.ts';
import { roundedThrough } from '../rounded.ts';
import { type Sheet, senseOf } from './sheet.ts';
import type { Stage } from './stages.ts';
import { cautionsOf } from './told/cautions.ts';

/** The object that `sheet --format json` prints. */
export const sheetsJson = (sheets: readonly Sheet[]) => ({
  contract: 1,
  mechanisms: sheets.map((sheet) => roundedThrough(sheetJson(sheet))),
});

function sheetJson(sheet: Sheet) {
  const { view, prints, beds, bought, unmade, stacks, stages, deadlocks, springs, routes, grease, steps, errors } =
    sheet;
  const { mechanism: m, figures } = view;
  return {
    name: m.name,
    title: view.title,
    ...(m.about.revision !== undefined && { revision: m.about.revision }),
    errors: errors.map(({ code, message }) => ({ code, message })),
    cautions: cautionsOf(sheet),
    prints,
    ...(beds.length > 1 && { beds: beds.map(({ process, size }) => ({ process, ...size })) }),
    bought,
    notMade: unmade,
    stacks: stacks.map(({ shaft, parts }) => ({
      shaft,
      parts: parts.map(({ kind, name, level, from, to, flange, wrongTurns, wrongOver }) => ({
        kind,
        name,
        ...(level !== undefined && { level }),
        from,
        to,
        ...(flange !== undefined && { flange }),
        wrongTurnsDeg: wrongTurns.map((turn) => degrees(turn)),
        wrongOver,
      })),
    })),
    home: {
      ...(view.rests > 0 && { symbol: figures.positions[0].symbol }),
      shafts: m.shafts.map(({ name, at, bearing, bearingClearance }) => ({
        name,
        ...(at && { x: at.value.x, y: at.value.y }),
        ...(bearing && { journal: bearing.value, bearing: bearing.value + 2 * bearingClearance.value }),
        ...(senseOf(view, name) && { turns: senseOf(view, name) }),
      })),
      gears: figures.gears.map(({ name, shaft, marks }) => ({
        name,
        shaft,
        marksDeg: marks.map((mark) => degrees(mark)),
      })),
      bars: (figures.positions[0]?.bars ?? []).map(({ segment, lift, seen }) => ({ segment, lift, seen })),
    },
    stages: stages.map(stageJson),
    cannotAssemble: deadlocks,
    springs,
    loops: routes,
    grease,
    steps,
  };
}

function stageJson({ kind, steps, cams, bars, raisedAtHome, seen }: Stage) {
  return {
    kind,
    cams,
    bars,
    steps: steps.map(({ part, kind, way, at, of, seat, before }) => ({
      part,
      kind,
      ...(of > 1 && { seat: seat + 1, of }),
      from: way,
      ...(way === 'slide' && { azimuthDeg: degrees(at.turn) }),
      x: at.x,
      y: at.y,
      before,
    })),
    tried: { raisedAtHome, steps: seen },
  };
}
