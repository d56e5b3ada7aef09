/** Places in the text of one top-level statement, and findings told about it. */
import { type AstNode, AstUtils, type CompositeCstNode, type CstNode, GrammarAST } from 'langium';
import type { Change, Finding, Fix, Place } from './mechanism.ts';

/** The statement under way: where it stands and what was found wrong with it so far. */
export interface Telling {
  readonly file: string;
  /** Index of the top-level statement; −1 for what stands before all of them. */
  readonly top: number;
  /** Offset in the file that its places count from. */
  readonly start: number;
  readonly problems: Finding[];
}

/** Anything with a stretch of text. */
export type Stretch = { readonly offset: number; readonly end: number };

export function placeAt(telling: Telling, stretch: Stretch): Place {
  return {
    file: telling.file,
    top: telling.top,
    from: stretch.offset - telling.start,
    to: stretch.end - telling.start,
  };
}

const nowhere = (telling: Telling): Stretch => ({ offset: telling.start, end: telling.start });

/** The place of a whole node. */
export function placeOf(telling: Telling, node: AstNode | undefined): Place {
  return placeAt(telling, node?.$cstNode ?? nowhere(telling));
}

/** The place from the first of some nodes to the last. */
export function placeAcross(telling: Telling, nodes: readonly (AstNode | undefined)[]): Place {
  const stretches = nodes.flatMap((node) => (node?.$cstNode ? [node.$cstNode] : []));
  if (!stretches.length) return placeAt(telling, nowhere(telling));
  return placeAt(telling, {
    offset: Math.min(...stretches.map(({ offset }) => offset)),
    end: Math.max(...stretches.map(({ end }) => end)),
  });
}

/** The feature that each element of the grammar assigns. */
const featureOf = new WeakMap<GrammarAST.AbstractElement, string>();

function featureAssigned(element: GrammarAST.AbstractElement | undefined): string {
  if (!element) return '';
  let feature = featureOf.get(element);
  if (feature === undefined) {
    feature = AstUtils.getContainerOfType(element, GrammarAST.isAssignment)?.feature ?? '';
    featureOf.set(element, feature);
  }
  return feature;
}

/** The text of one feature of a node: its name, its unit, its shaft; `index` counts where there are more. */
export function featureText(node: AstNode, feature: string, index = 0): CstNode | undefined {
  if (!node.$cstNode) return undefined;
  let count = index;
  const look = (within: CstNode): CstNode | undefined => {
    for (const part of (within as CompositeCstNode).content ?? []) {
      if (featureAssigned(part.grammarSource) === feature) {
        if (count-- === 0) return part;
      } else if ('content' in part && part.astNode === node) {
        const found = look(part);
        if (found) return found;
      }
    }
    return undefined;
  };
  return look(node.$cstNode);
}

/** The place of one feature of a node; of the whole node where the feature is not there. */
export function placeOfFeature(telling: Telling, node: AstNode, feature: string, index = 0): Place {
  return placeAt(telling, featureText(node, feature, index) ?? node.$cstNode ?? nowhere(telling));
}

export interface More {
  readonly about?: readonly string[];
  readonly severity?: Finding['severity'];
  readonly related?: Finding['related'];
  readonly fixes?: readonly Fix[];
}

/** Notes a finding about the text; an error unless it says otherwise. */
export function tell(telling: Telling, code: string, message: string, place: Place, more: More = {}): void {
  telling.problems.push({
    code,
    severity: more.severity ?? 'error',
    message,
    place,
    about: more.about ?? [],
    figures: {},
    related: more.related ?? [],
    fixes: more.fixes ?? [],
  });
}

/** A fix that puts other text in a place. */
export function rewrite(place: Place, text: string): Fix {
  return { title: `Write ${text}`, changes: [{ do: 'replace', place, text } satisfies Change] };
}

/** A fix that takes text away. */
export function takeAway(title: string, place: Place): Fix {
  return { title, changes: [{ do: 'remove', place } satisfies Change] };
}
