/** Which statement holds a position. */
import type { AstNode, LangiumDocument } from 'langium';
import type { Position } from 'vscode-languageserver';
import type { Design, Mechanism, Member, Statement } from '../../language/generated/ast.ts';
import type { Room } from '../../language/words.ts';
import type { PartAtResult } from '../protocol.ts';

/** The last of some neighbouring statements that begins at or before an offset and has not ended before it. */
function holding<T extends AstNode>(nodes: readonly T[], offset: number): T | undefined {
  let low = 0;
  let high = nodes.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const text = nodes[middle]!.$cstNode;
    if (!text || offset > text.end) low = middle + 1;
    else if (offset < text.offset) high = middle - 1;
    else return nodes[middle];
  }
  return undefined;
}

/** The top-level statement at an offset. */
export function statementAt(document: LangiumDocument, offset: number): Statement | undefined {
  return holding((document.parseResult.value as Design).statements ?? [], offset);
}

/** The mechanism at an offset. */
function mechanismAt(document: LangiumDocument, offset: number): Mechanism | undefined {
  const statement = statementAt(document, offset);
  return statement?.$type === 'Mechanism' ? statement : undefined;
}

/** What figures and findings call a member of a mechanism; undefined for what has no name. */
export function partName(member: Member): string | undefined {
  if (member.$type === 'Mesh') {
    const gears = member.gears.map(({ $refText }) => $refText);
    return gears.length === 2 ? gears.join('–') : undefined;
  }
  return 'name' in member ? member.name : undefined;
}

/** The mechanism and the part whose text holds a position. */
export function partAt(document: LangiumDocument | undefined, position: Position): PartAtResult {
  if (!document || !Number.isFinite(position.line) || !Number.isFinite(position.character)) return null;
  const offset = document.textDocument.offsetAt(position);
  const mechanism = mechanismAt(document, offset);
  if (!mechanism?.name) return null;
  const member = holding(mechanism.members, offset);
  const part = member && partName(member);
  return { mechanism: mechanism.name, ...(part !== undefined && { part }) };
}

/** Which words may begin something directly inside a node. */
export function roomOf(node: AstNode | undefined): Room | undefined {
  switch (node?.$type) {
    case 'Design':
      return 'file';
    case 'Every':
      return (node as { kind?: Room } & AstNode).kind;
    case 'About':
    case 'Mechanism':
    case 'Glyphs':
    case 'Material':
    case 'Process':
    case 'Shaft':
    case 'Key':
    case 'Gear':
    case 'Mesh':
    case 'Segment':
    case 'Cam':
    case 'Spring':
    case 'Post':
    case 'Band':
    case 'Ratchet':
    case 'Push':
    case 'Frame':
    case 'Limits':
      return node.$type.toLowerCase() as Room;
    default:
      return undefined;
  }
}
