import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { libraryFiles } from '../../language/library.ts';
import { createLobeServices, openDesign, readDesign } from '../../language/services.ts';

const services = createLobeServices();

test('an example is read and linked without a problem', () => {
  const { parseResult, references } = readDesign(services, readFileSync('examples/berth-sign.lobe', 'utf8'));
  expect(parseResult.lexerErrors).toEqual([]);
  expect(parseResult.parserErrors.map(({ message }) => message)).toEqual([]);
  expect(references.length).toBeGreaterThan(30);
  expect(references.filter(({ error }) => error)).toEqual([]);
});

test.each(libraryFiles)('%s is read and linked without a problem', (file) => {
  const { parseResult, references } = openDesign(services, file, () => undefined);
  expect(parseResult.lexerErrors).toEqual([]);
  expect(parseResult.parserErrors.map(({ message }) => message)).toEqual([]);
  expect(references.filter(({ error }) => error).map(({ $refText }) => $refText)).toEqual([]);
});
