/** The script of the page: draws it from the tables that stand in it. */
import { render } from 'preact';
import { Symptoms } from './page.tsx';
import type { SymptomPage } from './page-data.ts';

const pages = JSON.parse(document.getElementById('tables')?.textContent ?? '[]') as readonly SymptomPage[];
const place = document.getElementById('symptoms');
if (place) {
  place.replaceChildren();
  render(<Symptoms pages={pages} />, place);
}
