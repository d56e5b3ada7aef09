/** Pages as SVG, px to the pt: what a picture of a document is made of. */
import { fileStyle, fontStack } from '../../chart/themes.ts';
import { escaped } from '../../markup.ts';
import type { Document } from '../document.ts';
import type { Canvas, Fonts, Pen } from './canvas.ts';
import { type Paper, pagesOf, papers } from './pages.ts';

const px = (value: number): string => `${Math.round(value * 100) / 100 + 0}`;

/** Some pages of documents, by their numbers from 0, side by side on one drawing. */
export function pagesSvg(
  documents: readonly Document[],
  fonts: Fonts,
  numbers: readonly number[],
  paper: Paper = 'a4',
) {
  const { width, height } = papers[paper];
  const pages = pagesOf(documents, paper, fonts);
  const gap = 12;
  const shown = numbers.filter((number) => number < pages.length);
  const drawn = shown.map((number, i) => {
    const parts: string[] = [];
    pages[number].draw(svgCanvas(parts, height));
    const place = `translate(${px(gap + i * (width + gap))} ${gap})`;
    return `<g transform="${place}"><path fill="#ffffff" d="M0 0H${px(width)}V${px(height)}H0Z"/>${parts.join('')}</g>`;
  });
  const [wide, tall] = [shown.length * (width + gap) + gap, height + 2 * gap].map(px);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}" height="${tall}" viewBox="0 0 ${wide} ${tall}">`,
    `<style>${fileStyle('light')}</style><path fill="#c3ccd3" d="M0 0H${wide}V${tall}H0Z"/>`,
    ...drawn,
    '</svg>\n',
  ].join('');
}

const pen = ({ colour, width, dashed }: Pen): string =>
  `fill="none" stroke="${colour}" stroke-width="${px(width)}"${dashed ? ' stroke-dasharray="3 2"' : ''}`;

function svgCanvas(parts: string[], height: number): Canvas {
  const y = (up: number) => px(height - up);
  return {
    text(text, { weight }, size, x, up, colour) {
      const bold = weight === 'bold' ? ' font-weight="bold"' : '';
      parts.push(
        `<text x="${px(x)}" y="${y(up)}" font-family="${escaped(fontStack)}" font-size="${px(size)}"${bold} fill="${colour}">${escaped(text)}</text>`,
      );
    },
    line(x, up, toX, toUp, given) {
      parts.push(`<path ${pen(given)} d="M${px(x)} ${y(up)}L${px(toX)} ${y(toUp)}"/>`);
    },
    frame(x, up, width, tall, given) {
      parts.push(`<path ${pen(given)} d="M${px(x)} ${y(up)}h${px(width)}v${px(-tall)}h${px(-width)}Z"/>`);
    },
    block(x, up, width, tall, colour) {
      parts.push(`<path fill="${colour}" d="M${px(x)} ${y(up)}h${px(width)}v${px(-tall)}h${px(-width)}Z"/>`);
    },
    drawing(svg, x, up, scale) {
      parts.push(`<g transform="translate(${px(x)} ${y(up)}) scale(${scale})">${svg}</g>`);
    },
  };
}
