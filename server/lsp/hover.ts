/** What is told of the word under the pointer: what it means, and what was reckoned of the thing it names. */
import { type AstNode, AstUtils, CstUtils, GrammarAST, type LangiumDocument, type LeafCstNode } from 'langium';
import type { HoverProvider } from 'langium/lsp';
import type { Hover, HoverParams } from 'vscode-languageserver';
import { reckon } from '../../language/expressions.ts';
import type { GlyphEntry, GlyphSymbol, Glyphs, Let } from '../../language/generated/ast.ts';
import type { Mechanism, Part } from '../../language/mechanism.ts';
import { mechanismOf } from '../../language/names.ts';
import { say, units, wantedOf } from '../../language/units.ts';
import { functions, innerWords, rooms, unitWords } from '../../language/words.ts';
import { pages } from '../checks/index.ts';
import type { Reckoned } from '../protocol.ts';
import type { CamFigure, Figures } from '../reckon/figures.ts';
import { entriesOf, symbolText, tableOf } from './glyphs.ts';
import { roomOf } from './parts.ts';
import { namingOf, segmentIn, segmentWord } from './segments.ts';
import type { DesignServices } from './services.ts';

export class DesignHover implements HoverProvider {
  private readonly services: DesignServices;

  constructor(services: DesignServices) {
    this.services = services;
  }

  getHoverContent(document: LangiumDocument, { position }: HoverParams): Hover | undefined {
    const root = document.parseResult.value.$cstNode;
    const offset = document.textDocument.offsetAt(position);
    const leaf = root && CstUtils.findLeafNodeAtOffset(root, offset);
    if (!leaf || leaf.hidden || leaf.end === offset) return undefined;
    const value = this.ofSegmentWord(leaf) ?? this.ofName(leaf) ?? this.ofSymbol(leaf) ?? ofWord(leaf);
    return value ? { contents: { kind: 'markdown', value }, range: leaf.range } : undefined;
  }

  private ofName(leaf: LeafCstNode): string | undefined {
    const target = this.services.references.References.findDeclarations(leaf)[0];
    const name = (target as { name?: string } | undefined)?.name;
    if (!target?.$cstNode || !name) return undefined;
    const title = `**${target.$type.toLowerCase()} ${name}**`;
    switch (target.$type) {
      case 'Let':
        return paragraphs(title, letValue(target as Let));
      case 'Glyphs':
        return paragraphs(title, tableRows(target as Glyphs));
      case 'Material':
      case 'Process':
        return paragraphs(title, `\`\`\`lobe\n${target.$cstNode.text}\n\`\`\``);
      case 'Mechanism': {
        const known = this.reckonedOf(target);
        return paragraphs(title, known && mechanismLines(known));
      }
      default: {
        const known = this.reckonedOf(target);
        return paragraphs(title, known && partLines(known, name), known && defaultLines(known.figures, name));
      }
    }
  }

  /** A segment as a glyph table names it: which symbols show it, and in which mechanisms. */
  private ofSegmentWord(leaf: LeafCstNode): string | undefined {
    const word = segmentWord(leaf);
    const naming = word && namingOf(word.table, word.name, this.services.shared.workspace.LangiumDocuments);
    if (!naming) return undefined;
    const { table, name } = word;
    const by = [...entriesOf(table)].flatMap(([symbol, { lit }]) => (lit.includes(name) ? [symbol] : []));
    const having = naming.users.filter((user) => segmentIn(user, name)).map((user) => user.name);
    return paragraphs(
      `**segment ${name}**`,
      lines([
        by.length
          ? `shown by ${list(by)} in glyph table ${table.name}`
          : `no symbol of glyph table ${table.name} shows it`,
        having.length ? `a segment of mechanism ${having.join(', ')}` : 'no mechanism has it',
      ]),
    );
  }

  private ofSymbol(leaf: LeafCstNode): string | undefined {
    const node = leaf.astNode;
    if (node.$type !== 'GlyphSymbol') return undefined;
    const symbol = symbolText(node as GlyphSymbol);
    const mechanism = mechanismOf(node);
    if (!mechanism) {
      const entry = node.$container as GlyphEntry;
      return entry?.$type === 'GlyphEntry' ? `**"${symbol}"** shows ${shown(entry)}` : undefined;
    }
    const entry = entriesOf(tableOf(mechanism)).get(symbol);
    const wanted = entry ? `shows ${shown(entry)} in the glyph table` : 'is not in the glyph table';
    const positions = this.reckonedOf(mechanism)?.figures.positions.filter((position) => position.symbol === symbol);
    const seen = positions?.map(({ index, shown, wrong }) =>
      wrong.length
        ? `position ${index}: the face shows ${list(shown)}; wrong: ${list(wrong)}`
        : `position ${index}: the face shows ${list(shown)}`,
    );
    return paragraphs(`**"${symbol}"** ${wanted}`, seen && lines(seen));
  }

  private reckonedOf(node: AstNode): Reckoned | undefined {
    const mechanism = mechanismOf(node);
    const analysis = this.services.Analyses.of(AstUtils.getDocument(node).uri);
    return analysis?.mechanisms.find(({ mechanism: { place } }) => place.top === mechanism?.$containerIndex);
  }
}

// ---- words of the language -----------------------------------------------------------

function ofWord({ text, astNode, grammarSource, tokenType }: LeafCstNode): string | undefined {
  switch (tokenType.name) {
    case 'UNIT':
      return unitText(text);
    case 'FUNCTION':
      return functions[text] && `\`${text}\`: ${functions[text]}`;
    case 'CODE': {
      const page = pages.find(({ code }) => code === text);
      return page && paragraphs(`**${page.title}** (${page.severity})`, page.means);
    }
  }
  if (!GrammarAST.isKeyword(grammarSource)) return undefined;
  const room = roomOf(astNode.$container ?? astNode);
  const word = room && rooms[room][text];
  if (word) return paragraphs(`\`${word.form}\``, `${word.says}`, `Example: \`${word.example}\``);
  return innerWords[text] && `\`${text}\`: ${innerWords[text]}`;
}

function unitText(text: string): string | undefined {
  return unitWords[text] && units.has(text) ? `\`${text}\`: ${unitWords[text]}` : undefined;
}

// ---- reckoned values -----------------------------------------------------------------

const deg = (angle: number): string => `${round((angle * 180) / Math.PI, 2)}°`;
const mm = (length: number): string => `${round(length, 3)} mm`;
const round = (value: number, decimals: number): string => String(Number(value.toFixed(decimals)) || 0);
const list = (names: readonly string[]): string => (names.length ? names.join(' ') : 'nothing');
const lines = (rows: readonly (string | undefined)[]): string | undefined => {
  const said = rows.filter((row) => row !== undefined);
  return said.length ? said.map((row) => `- ${row}`).join('\n') : undefined;
};
const paragraphs = (...parts: readonly (string | undefined)[]): string =>
  parts.filter((part) => part !== undefined).join('\n\n');
const shown = (entry: GlyphEntry): string => list(entry.lit);

function letValue(node: Let): string | undefined {
  const telling = { file: '', top: 0, start: 0, problems: [] };
  const amount = reckon({ telling, lets: new Map() }, node.value);
  const wanted = amount && wantedOf(amount.dimension);
  if (!amount || !wanted) return undefined;
  const tolerance = amount.tolerance ? ` ± ${say(amount.tolerance, wanted)}` : '';
  return `= ${say(amount.value, wanted)}${tolerance}`;
}

function tableRows(table: Glyphs): string | undefined {
  const rows = [...entriesOf(table)].map(([symbol, entry]) => `| ${symbol.replace('|', '\\|')} | ${shown(entry)} |`);
  return rows.length ? ['| symbol | shows |', '| --- | --- |', ...rows].join('\n') : undefined;
}

function mechanismLines({ mechanism, figures, findings }: Reckoned): string | undefined {
  const standing = findings.filter(({ accepted }) => accepted === undefined);
  return lines([
    mechanism.about.title,
    figures.step === undefined ? undefined : `${figures.positions.length} rest positions, ${deg(figures.step)} a step`,
    figures.leading === undefined ? undefined : `led by shaft ${figures.leading}`,
    standing.length ? `${standing.length} finding${standing.length === 1 ? '' : 's'}` : 'nothing wrong',
  ]);
}

/** What was reckoned of a part, by what it is. */
function partLines({ mechanism, figures }: Reckoned, name: string): string | undefined {
  const cam = figures.cams.find((one) => one.name === name);
  if (cam) return lines(camLines(cam, mechanism));
  const shaft = figures.shafts.find((one) => one.name === name);
  if (shaft) {
    const { ratio, turns, step, leads } = shaft;
    return lines([
      leads ? 'leads: steps are counted on it' : undefined,
      ratio && !leads
        ? `${ratio.num}${ratio.den === 1 ? '' : `/${ratio.den}`} turns for one of the leading shaft`
        : undefined,
      ratio ? `turns ${turns}, ${deg(Math.abs(step))} a step` : 'no train reaches it',
    ]);
  }
  const gear = figures.gears.find((one) => one.name === name);
  if (gear) {
    const meshes = figures.meshes.filter(({ gears }) => gears.includes(name));
    return lines([
      `pitch radius ${mm(gear.pitchRadius)}, tip ${mm(gear.tipRadius)}, root ${mm(gear.rootRadius)}`,
      ...meshes.map(
        ({ gears, centreDistance, idealCentreDistance }) =>
          `meshes with ${gears[0] === name ? gears[1] : gears[0]}: centres ${mm(centreDistance)} apart, ideal ${mm(idealCentreDistance)}`,
      ),
    ]);
  }
  const segment = mechanism.segments.find((one) => one.name === name);
  if (segment) return lines(segmentLines(name, figures, mechanism));
  return undefined;
}

function camLines(cam: CamFigure, mechanism: Mechanism): (string | undefined)[] {
  const { pressureAngle, smallestBase, lift, pitchCurvature } = cam;
  const limit = mechanism.limits.pressureAngle.value;
  const up = lift.always
    ? 'up all round'
    : lift.lobes.length
      ? `up from ${lift.lobes.map(({ from, to }) => `${deg(from)} to ${deg(to)}`).join(', ')}`
      : 'down all round';
  return [
    `drives ${list(cam.segments)}`,
    up,
    `travel ${deg(cam.travel)}, rests ${deg(cam.spacing)} apart`,
    pressureAngle && `pressure angle ${deg(pressureAngle.value)} at ${deg(pressureAngle.at)} (limit ${deg(limit)})`,
    smallestBase === undefined ? undefined : `smallest base ${mm(smallestBase)}`,
    pitchCurvature?.convexMin && `least convex radius of the pitch curve ${mm(pitchCurvature.convexMin.value)}`,
  ];
}

function segmentLines(name: string, { positions, cams }: Figures, mechanism: Mechanism): (string | undefined)[] {
  const at = (index: number) => mechanism.count?.symbols[index % mechanism.count.symbols.length]?.text ?? `${index}`;
  const seen = positions.filter(({ shown }) => shown.includes(name)).map(({ symbol }) => symbol);
  const cam = cams.find(({ segments }) => segments.includes(name));
  const raised = cam?.raisedAt.flatMap((up, index) => (up ? [at(index)] : []));
  return [
    positions.length ? `shown at ${list([...new Set(seen)])}` : undefined,
    raised && `raised by ${cam!.name} at ${list([...new Set(raised)])}`,
    cam ? undefined : 'no cam drives it',
  ];
}

function defaultLines({ defaults }: Figures, name: Part['name']): string | undefined {
  const own = defaults.filter(({ of }) => of.startsWith(`${name}.`));
  if (!own.length) return undefined;
  const rows = own.map(({ of, value, because }) => `${of.slice(name.length + 1)}: ${value} (${because})`);
  return `Not given, taken as usual:\n${lines(rows)}`;
}
