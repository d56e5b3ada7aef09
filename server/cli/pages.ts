/** The pages of all findings: of the text, of its meaning, of what is reckoned. */
import type { FindingPage } from '../../language/page.ts';
import { readingPages } from '../../language/reading-pages.ts';
import { valuePages } from '../../language/value-pages.ts';
import { pages as checkPages } from '../checks/index.ts';

export const pages: readonly FindingPage[] = [...readingPages, ...valuePages, ...checkPages];
