/** The script of a page that plays: draws the chart from the data that stands in the page. */
import { render } from 'preact';
import type { Reckoned } from '../../protocol.ts';
import { Chart } from './chart.tsx';

const mechanisms = JSON.parse(document.getElementById('mechanisms')?.textContent ?? '[]') as readonly Reckoned[];
const place = document.getElementById('chart');
if (place) {
  place.replaceChildren();
  render(<Chart mechanisms={mechanisms} />, place);
}
