/** The script of a page that plays: draws the chart from the data that stands in the page. */
import { render } from 'preact';
import { Chart } from './chart.tsx';
import type { PageData } from './files.tsx';

const data = document.getElementById('chart-data')?.textContent ?? '{"mechanisms":[],"ghosts":[]}';
const { mechanisms, ghosts } = JSON.parse(data) as PageData;
const place = document.getElementById('chart');

function draw(on: boolean): void {
  const [ghost] = ghosts;
  const against = ghost && { label: ghost.of, on, onToggle: draw, ghosts };
  render(<Chart mechanisms={mechanisms} against={against} />, place!);
}

if (place) {
  place.replaceChildren();
  draw(true);
}
