import { describe, expect, it } from 'vitest';
import { valuePages } from '../../language/value-pages.ts';
import { resolve, told } from './reading.ts';

describe.each(valuePages.map((page) => [page.code, page] as const))('the page of %s', (code, page) => {
  it.each(page.examples.map(({ title, text }) => [title, text] as const))('%s', (_, marked) => {
    const text = marked.replace(/[«»]/g, '');
    const resolved = resolve(text);
    const wanted = [...marked.matchAll(/«([^»]*)»/g)].map((match) => [code, match[1]]);
    const found = told(text, resolved.problems, resolved);
    expect(found.map(([code, , at]) => [code, at])).toEqual(wanted);
  });
});
