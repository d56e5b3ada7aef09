/** The whole symptom table as a table to read. */
import type { SymptomTable } from '../../search/symptoms.ts';
import { bySymptom, faultInWords, labelOf, shortened, sizeInWords, spoiltInWords } from './words.ts';

export function WholeTable({ table }: { table: SymptomTable }) {
  const [{ faults: silent }] = table.groups;
  return (
    <div class="lw-tables">
      <table>
        <caption>
          {sizeInWords(table)}. {shortened}
        </caption>
        <thead>
          <tr>
            <th scope="col">Wrong at</th>
            <th scope="col">What it may be</th>
            <th scope="col">What is seen</th>
          </tr>
        </thead>
        <tbody>
          {bySymptom(table).map((group) => (
            <tr key={group.faults[0].what}>
              <th scope="row">{group.spoilt.map((position) => labelOf(table, position)).join(' ')}</th>
              <td>
                {group.faults.map((fault) => (
                  <div key={fault.what}>{faultInWords(fault)}</div>
                ))}
              </td>
              <td>{spoiltInWords(table, group).join(', ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <List title="No face tells of these" lines={silent.map(faultInWords)} />
      <List title="These cannot be" lines={table.impossible.map(({ what, because }) => `${what}: ${because}`)} />
      <List title="Not simulated" lines={table.untold.map(({ of, because }) => `${of}: ${because}`)} />
    </div>
  );
}

function List({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <section>
      <h3>{title}</h3>
      <Lines lines={lines} />
    </section>
  );
}

export const Lines = ({ lines }: { lines: readonly string[] }) => (
  <ul>
    {lines.map((line) => (
      <li key={line}>{line}</li>
    ))}
  </ul>
);
