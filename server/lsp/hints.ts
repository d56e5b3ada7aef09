/** Reckoned values written beside what leaves them out: a cam's travel, the base that would do. */
import type { AstNode, LangiumDocument } from 'langium';
import { GrammarUtils } from 'langium';
import type { InlayHintProvider } from 'langium/lsp';
import { type InlayHint, InlayHintKind, type InlayHintParams } from 'vscode-languageserver';
import type { Cam as CamNode, Design } from '../../language/generated/ast.ts';
import type { Cam } from '../../language/mechanism.ts';
import type { CamFigure } from '../reckon/figures.ts';
import type { DesignServices } from './services.ts';

export class DesignHints implements InlayHintProvider {
  private readonly services: DesignServices;

  constructor(services: DesignServices) {
    this.services = services;
  }

  getInlayHints(document: LangiumDocument, { range }: InlayHintParams): InlayHint[] {
    const { statements } = document.parseResult.value as Design;
    const known = this.services.Analyses.of(document.uri)?.mechanisms ?? [];
    return known.flatMap(({ mechanism, figures }) => {
      const node = statements[mechanism.place.top];
      if (node?.$type !== 'Mechanism') return [];
      const cams = node.members.filter((member): member is CamNode => member.$type === 'Cam');
      return cams.flatMap((member) => {
        const at = headEnd(member);
        if (!at || at.line < range.start.line || at.line > range.end.line) return [];
        const cam = mechanism.cams.find(({ name }) => name === member.name);
        const figure = figures.cams.find(({ name }) => name === member.name);
        const label = cam && figure && labelOf(cam, figure);
        return label ? [{ position: at, label, kind: InlayHintKind.Parameter, paddingLeft: true }] : [];
      });
    });
  }
}

/** The end of a statement's head: before its block. */
function headEnd({ $cstNode }: AstNode) {
  const open = GrammarUtils.findNodeForKeyword($cstNode, '{');
  if (!open) return $cstNode?.range.end;
  const { line, character } = open.range.start;
  return { line, character: Math.max(0, character - 1) };
}

function labelOf(cam: Cam, { smallestBase, travel }: CamFigure): string | undefined {
  const said = [
    !cam.base && smallestBase !== undefined ? `base ≥ ${(Math.ceil(smallestBase * 10) / 10).toFixed(1)} mm` : undefined,
    !cam.travel && travel !== undefined ? `travel ${Number(((travel * 180) / Math.PI).toFixed(2))} deg` : undefined,
  ].filter((part) => part !== undefined);
  return said.length ? said.join(', ') : undefined;
}
