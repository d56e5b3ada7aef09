/** Documents as one self-contained HTML page, which asks nothing of any other host and runs no script. */
import { renderToString } from 'preact-render-to-string';
import drawingStyle from '../chart/drawing.css';
import { properties } from '../chart/themes.ts';
import { lawful } from '../markup.ts';
import pageStyle from './document.css';
import { type Block, type Document, type Drawing, isNumeric, isSmall, type Table } from './document.ts';

/** `title` is that of the whole page; without a paper it is printed on what the printer has. */
export function documentsHtml(documents: readonly Document[], title: string, paper?: 'a4' | 'letter'): string {
  const numbered = numbering();
  const page = (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'" />
        <title>{title}</title>
        <style dangerouslySetInnerHTML={{ __html: paper ? `${style}\n@page{size:${paper}}` : style }} />
      </head>
      <body>
        <main>
          {documents.map((document) => (
            <article key={document.title}>
              <h1>{document.title}</h1>
              <p class="about">{document.about}</p>
              {document.blocks.map((block, i) => (
                <Told key={i} block={block} numbered={numbered} />
              ))}
            </article>
          ))}
        </main>
      </body>
    </html>
  );
  return lawful(`<!doctype html>\n${renderToString(page)}\n`);
}

const style = [
  `:root{color-scheme:light dark;${properties('light')}}`,
  `@media (prefers-color-scheme:dark){:root{${properties('dark')}}}`,
  `@media (prefers-contrast:more){:root{${properties('contrast')}}}`,
  `@media print{:root{color-scheme:light;${properties('light')}}}`,
  drawingStyle,
  pageStyle,
].join('\n');

/** Numbers for the names that elements of one page must not share. */
function numbering(): () => number {
  let last = 0;
  return () => {
    last += 1;
    return last;
  };
}

function Told({ block, numbered }: { block: Block; numbered: () => number }) {
  switch (block.kind) {
    case 'heading':
      return block.level === 2 ? <h2>{block.text}</h2> : <h3>{block.text}</h3>;
    case 'text':
      return <p class={block.quiet ? 'quiet' : undefined}>{block.text}</p>;
    case 'caution':
      return (
        <section class="caution">
          <h3>{block.title}</h3>
          <List items={block.items} />
        </section>
      );
    case 'list':
      return <List items={block.items} />;
    case 'steps':
      return (
        <ol class="steps" start={block.first}>
          {block.items.map((item, i) => (
            <li key={item}>
              <label>
                <input type="checkbox" />
                <b>{block.first + i}</b>
                <span>{item}</span>
              </label>
            </li>
          ))}
        </ol>
      );
    case 'trial':
      return (
        <section class="trial">
          <h4>{block.title}</h4>
          <dl>
            {block.lines.map(([word, meaning]) => [<dt key={word}>{word}</dt>, <dd key={meaning}>{meaning}</dd>])}
          </dl>
        </section>
      );
    case 'table':
      return <Rows table={block} />;
    case 'drawings':
      return (
        <div class={lookOf(block)}>
          {block.drawings.map((drawing) => (
            <Figure key={drawing.title} drawing={drawing} number={numbered()} bare={block.cut} />
          ))}
        </div>
      );
  }
}

function lookOf({ drawings, cut }: Extract<Block, { kind: 'drawings' }>): string {
  if (cut) return 'cards';
  return isSmall(drawings) ? 'drawings small' : 'drawings';
}

const List = ({ items }: { items: readonly string[] }) => (
  <ul>
    {items.map((item) => (
      <li key={item}>{item}</li>
    ))}
  </ul>
);

function Rows({ table }: { table: Table }) {
  const { caption, heads, rows } = table;
  const look = heads.map((_, i) => (isNumeric(table, i) ? 'number' : undefined));
  return (
    <div class="wide">
      <table>
        <caption>{caption}</caption>
        <thead>
          <tr>
            {heads.map((head, i) => (
              <th key={i} scope="col" class={look[i]}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, r) => (
            <tr key={r}>
              {row.map((cell, i) => (
                <td key={i} class={look[i]}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** A drawing with its words; names within it are made its own, since many stand on one page. */
function Figure({ drawing, number, bare }: { drawing: Drawing; number: number; bare?: boolean }) {
  return (
    <figure>
      <div dangerouslySetInnerHTML={{ __html: drawingSvg(drawing, `d${number}`) }} />
      {!bare && <figcaption>{drawing.caption ?? drawing.title}</figcaption>}
    </figure>
  );
}

/** One drawing as an SVG element whose names all begin with `own`. */
export function drawingSvg({ title, description, width, height, body }: Drawing, own: string): string {
  const drawn = renderToString(
    <svg
      xmlns="http://www.w3.org/2000/svg"
      class="lw-drawing"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-labelledby={`${own}-title ${own}-desc`}
    >
      <title id={`${own}-title`}>{title}</title>
      <desc id={`${own}-desc`}>{description}</desc>
      {body}
    </svg>,
  );
  return drawn.replace(/ id="(lw-[\w-]+)"/g, ` id="${own}-$1"`).replace(/url\(#(lw-[\w-]+)\)/g, `url(#${own}-$1)`);
}
