/** The build sheet in words and drawings, in the order in which a builder needs it. */
import { aboutLine } from '../../chart/view.ts';
import { type Block, type Document, heading } from '../../document/document.ts';
import type { Sheet } from '../sheet.ts';
import { building } from './building.ts';
import { cautionsOf } from './cautions.ts';
import { greasing, leavingOut, wholeCount } from './finishing.ts';
import { printing } from './printing.ts';
import { atHome, stacking } from './standing.ts';
import { counted } from './words.ts';

/** The build sheet of one mechanism; `version` is that of the program. */
export function buildSheet(sheet: Sheet, version: string): Document {
  const { view } = sheet;
  return {
    title: `Build sheet: ${view.title}`,
    about: [aboutLine(view), `reckoned by Lobewright ${version}`].filter(Boolean).join(' · '),
    blocks: [
      ...unfit(sheet),
      heading(2, 'Before you begin'),
      { kind: 'caution', title: 'Take care', items: cautionsOf(sheet) },
      ...printing(sheet),
      ...stacking(sheet),
      ...atHome(sheet),
      ...building(sheet),
      ...greasing(sheet),
      ...wholeCount(sheet),
      ...leavingOut(sheet),
    ],
  };
}

/** Where errors stand, what is built does not work: that comes first. */
function unfit({ errors }: Sheet): Block[] {
  if (errors.length === 0) return [];
  return [
    {
      kind: 'caution',
      title: `Do not build this yet: ${counted(errors.length, 'error')} in the design`,
      items: errors.map(({ code, message }) => `${code}: ${message}`),
    },
  ];
}
