/** The page as one self-contained file. Nothing here reads or writes a file. */
import { renderToString } from 'preact-render-to-string';
import { caution } from '../caution.ts';
import chartStyle from '../chart/chart.css';
import drawingStyle from '../chart/drawing.css';
import { lawful } from '../markup.ts';
import { selfContainedPage } from '../self-contained-page.ts';
import type { SymptomPage } from './page-data.ts';
import symptomsStyle from './symptoms.css';
import { WholeTable } from './whole-table.tsx';
import { assumed } from './words.ts';

export interface SymptomsOptions {
  /** The text of `out/symptoms-page.js`, which makes the page play. */
  readonly script: string;
}

/** A page on which one clicks what one sees; without scripts it shows the whole table. */
export function symptomsHtml(pages: readonly SymptomPage[], { script }: SymptomsOptions): string {
  const title = `What was put together wrongly? ${pages.map(({ table }) => table.title).join(', ')}`;
  return selfContainedPage({
    title,
    styles: [drawingStyle, chartStyle, symptomsStyle],
    place: 'symptoms',
    standing: lawful(renderToString(<Standing pages={pages} />)),
    data: { id: 'tables', value: pages },
    script,
  });
}

function Standing({ pages }: { pages: readonly SymptomPage[] }) {
  return (
    <div class="lw-chart lw-symptoms">
      <h1>What was put together wrongly?</h1>
      {pages.map(({ table }) => (
        <section key={table.name}>
          <h2>{table.title}</h2>
          {'because' in table ? (
            <p>{table.because}</p>
          ) : (
            <>
              <p>{assumed(table)}</p>
              <WholeTable table={table} />
              {table.stored && <p class="lw-caution">{caution}</p>}
            </>
          )}
        </section>
      ))}
    </div>
  );
}
