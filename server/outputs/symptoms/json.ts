/** A symptom table for programs. Angles deg, counter-clockwise. */
import { degrees } from '../../reckon/motion/angles.ts';
import type { Face, Fault, NoTable, SymptomTable } from '../../search/symptoms.ts';
import { rounded } from '../rounded.ts';
import { barsSeen, symbolsOf } from './words.ts';

export const faultJson = ({ kind, about, what, note, by, teeth }: Fault) => ({
  kind,
  about,
  what,
  ...(note !== undefined && { note }),
  ...(by !== undefined && { byDeg: rounded(degrees(by)) }),
  ...(teeth !== undefined && { teeth }),
});

export const faceJson = (table: SymptomTable, face: Face) => ({
  shown: barsSeen(table, face, '1'),
  between: barsSeen(table, face, '-'),
  reads: symbolsOf(table, face),
});

export function symptomsJson(table: SymptomTable | NoTable) {
  if ('because' in table) return { name: table.name, because: table.because };
  return {
    name: table.name,
    runs: table.runs,
    ...(table.leading !== undefined && { leading: table.leading }),
    positions: table.symbols.map((symbol, index) => ({ index, symbol, ...faceJson(table, table.right[index]) })),
    looks: table.groups.map(({ faults, faces, spoilt, kin }, index) => ({
      index,
      faults: faults.map(faultJson),
      wrong: spoilt.map((position) => ({
        index: position,
        symbol: table.symbols[position],
        ...faceJson(table, faces[position]),
      })),
      alikeButForHome: kin,
    })),
    impossible: table.impossible,
    untold: table.untold,
  };
}
