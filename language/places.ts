/** Places: stretches of text that stay where they are while other statements are edited. */
import type { AstNode, CstNode } from 'langium';
import { type Design, isDesign } from './generated/ast.ts';
import type { Place } from './mechanism.ts';

/** A stretch of text by its offsets in the whole file. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The design (root) that a node belongs to. */
export function designOf(node: AstNode): Design {
  let root = node;
  while (root.$container) root = root.$container;
  return root as Design;
}

/** The file a design was read from, as a URI; '' for one that was made without a file. */
export function fileOf(design: Design): string {
  return design.$document?.uri.toString() ?? '';
}

/** The place of a whole node, or of one stretch of its text (`part`). */
export function placeOf(node: AstNode, part: CstNode | undefined = node.$cstNode): Place {
  let statement = node;
  while (statement.$container && !isDesign(statement.$container)) statement = statement.$container;
  const design = designOf(statement);
  const top = statement === design ? -1 : (statement.$containerIndex ?? -1);
  const start = top < 0 ? 0 : (statement.$cstNode?.offset ?? 0);
  return { file: fileOf(design), top, from: (part?.offset ?? start) - start, to: (part?.end ?? start) - start };
}

/** The place of a stretch of a design's text; what begins outside all statements counts from the start of the file. */
export function placeAt(design: Design, from: number, to: number): Place {
  const top = statementAt(design, from);
  const start = top < 0 ? 0 : (design.statements[top]?.$cstNode?.offset ?? 0);
  return { file: fileOf(design), top, from: from - start, to: to - start };
}

/** Where a place is in its design's text now; undefined if its statement is gone. */
export function stretchOf(design: Design, place: Place): Stretch | undefined {
  if (place.top < 0) return place;
  const start = design.statements[place.top]?.$cstNode?.offset;
  return start === undefined ? undefined : { from: start + place.from, to: start + place.to };
}

/** The index of the statement whose text holds an offset; −1 between statements. */
function statementAt(design: Design, offset: number): number {
  let low = 0;
  let high = design.statements.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const text = design.statements[middle]?.$cstNode;
    if (!text || offset > text.end) low = middle + 1;
    else if (offset < text.offset) high = middle - 1;
    else return middle;
  }
  return -1;
}
