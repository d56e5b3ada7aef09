/** Documents as plain text, 100 columns wide; drawings by what is to be seen in them. */
import { table } from '../figures.ts';
import { type Block, type Document, isSmall } from './document.ts';

const columns = 100;

export const documentsText = (documents: readonly Document[]): string => documents.map(documentText).join('\n\n');

function documentText({ title, about, blocks }: Document): string {
  const said = blocks.map(blockText).filter((text) => text !== '');
  return `${[`# ${title}`, about, ...said].join('\n\n')}\n`;
}

function blockText(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `${'#'.repeat(block.level)} ${block.text}`;
    case 'text':
      return filled(block.text);
    case 'caution':
      return [`! ${block.title}`, ...block.items.map((item) => filled(item, '  - '))].join('\n');
    case 'list':
      return block.items.map((item) => filled(item, '- ')).join('\n');
    case 'steps':
      return block.items.map((item, i) => filled(item, `[ ] ${`${block.first + i}`.padStart(2)}. `)).join('\n');
    case 'trial': {
      const wide = Math.max(...block.lines.map(([word]) => word.length)) + 1;
      const lines = block.lines.map(([word, meaning]) => filled(meaning, `  ${`${word}:`.padEnd(wide)} `));
      return [block.title, ...lines].join('\n');
    }
    case 'table':
      return table(block.caption, block.heads, block.rows);
    case 'drawings':
      if (isSmall(block.drawings)) return filled(block.drawings.map(({ title }) => title).join(', '), '[pictures] ');
      return block.drawings
        .map(({ title, description }) => filled(`${title}: ${description}`, '[picture] '))
        .join('\n');
  }
}

/** In lines of `columns` behind a sign, under which the later ones stand. */
function filled(text: string, sign = ''): string {
  const indent = ' '.repeat(sign.length);
  const lines: string[] = [];
  let line = sign;
  for (const word of text.split(/[^\S\u00a0]+/)) {
    const begun = line !== sign && line !== indent;
    if (begun && line.length + 1 + word.length > columns) {
      lines.push(line);
      line = indent + word;
    } else line += begun ? ` ${word}` : word;
  }
  return [...lines, line].join('\n');
}
