/** The chart's figures as tables, for screen readers and for whoever would rather read numbers. */
import { faceSentence } from './face.tsx';
import { shaftSentence } from './layout.ts';
import { barsAt, restAt, type View } from './view.ts';
import { bearing, deg, degRange, mm } from './words.ts';

export function FiguresTable({ view }: { view: View }) {
  return (
    <div class="lw-tables">
      <table>
        <caption>Cams</caption>
        <thead>
          <tr>
            {[
              'Cam',
              'Shaft',
              'Level',
              'Drives',
              'Up at',
              'Stroke',
              'Flanks',
              'Greatest pressure angle',
              'Findings',
            ].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {view.rows.map(({ cam, figure, flanks, marks }) => (
            <tr key={cam.name}>
              <th scope="row">{cam.name}</th>
              <td>{cam.shaft?.name}</td>
              <td>{cam.level?.value}</td>
              <td>{cam.segments.map((segment) => segment.name).join(' ')}</td>
              <td>
                {figure &&
                  view.figures.positions
                    .filter((position) => figure.raisedAt[position.index])
                    .map((position) => position.symbol)
                    .join(' ')}
              </td>
              <td>{figure && !figure.lift.relative && mm(figure.lift.stroke)}</td>
              <td>{flanks && degRange(flanks)}</td>
              <td>
                {figure?.pressureAngle &&
                  `${deg(Math.abs(figure.pressureAngle.value))} at ${bearing(figure.pressureAngle.at)}`}
              </td>
              <td>{[...new Set(marks.map((mark) => mark.tag))].join(' ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <table>
        <caption>Rests</caption>
        <thead>
          <tr>
            {['Rest', 'Symbol', 'What the bars do'].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {view.figures.positions.map((_, across) => {
            const rest = restAt(view, across);
            return (
              <tr key={rest}>
                <th scope="row">{rest}</th>
                <td>{view.figures.positions[rest].symbol.trim() || 'blank'}</td>
                <td>{faceSentence(barsAt(view, across))}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <table>
        <caption>Shafts</caption>
        <tbody>
          {view.figures.shafts.map((figure) => (
            <tr key={figure.name}>
              <th scope="row">{figure.name}</th>
              <td>{shaftSentence({ figure }).replace(/^\S+ /, '')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
