/** The written form of a value in the text → the value in the syntax tree. */
import type { AstNode, CstNode, ValueConverter, ValueType } from 'langium';
import { meantNumber } from './tokens.ts';

/** Values in which the parser stumbled: what they were to be is not known. */
export const halfRead = new WeakSet<AstNode>();

/** What a number has that is not written as numbers are here. */
const strange = /[,eE]/;

export class LobeValueConverter implements ValueConverter {
  convert(image: string, _node: CstNode): ValueType {
    const c = image[0];
    if (c === '"') return unquoted(image);
    if (c === '°') return 'deg';
    if (c === 'µ' || c === 'μ') return `u${image.slice(1)}`;
    if (c !== undefined && c <= '9' && c >= '0' && strange.test(image)) return meantNumber(image) ?? image;
    return image;
  }
}

/** Text without its quotes; `\"` stands for a quote, `\\` for a backslash. The closing quote may be missing. */
function unquoted(image: string): string {
  const end = image.length > 1 && image.endsWith('"') ? -1 : undefined;
  return image.slice(1, end).replace(/\\(.)/g, '$1');
}

/** Text as it stands in a file. */
export function quoted(text: string): string {
  return `"${text.replace(/[\\"]/g, '\\$&')}"`;
}
