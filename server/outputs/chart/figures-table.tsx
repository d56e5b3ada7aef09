/** The chart's figures as tables, for screen readers and for whoever would rather read numbers. */
import type { ComponentChildren } from 'preact';
import { inWords, meets } from '../../checks/clashes.ts';
import { type Encounter, near, touch } from '../../reckon/shape/over-turn.ts';
import type { StackedPart } from '../../reckon/shape/stack.ts';
import { apartByDesign } from '../shape-figures.ts';
import { faceSentence } from './face.tsx';
import { shaftSentence } from './layout.ts';
import { ratioText } from './strip-figures.ts';
import { barsAt, restAt, type View } from './view.ts';
import { bearing, deg, degRange, listed, mm, plain } from './words.ts';

export function FiguresTable({ view }: { view: View }) {
  const { figures } = view;
  return (
    <div class="lw-tables">
      <Table
        caption="Cams"
        heads={[
          'Cam',
          'Shaft',
          'Level',
          'Drives',
          'Up at',
          'Stroke',
          'Flanks',
          'Greatest pressure angle',
          'Least radius',
          'Lost to undercut',
          'Wall at the bore',
          'Findings',
        ]}
        rows={view.rows.map(({ cam, figure, flanks, marks }) => {
          const wall = figures.keyed.parts.find(({ kind, name }) => kind === 'cam' && name === cam.name)?.wall;
          const radius = figure?.profileCurvature?.convexMin;
          return [
            cam.name,
            cam.shaft?.name,
            cam.level?.value,
            cam.segments.map((segment) => segment.name).join(' '),
            figure &&
              figures.positions
                .filter((position) => figure.raisedAt[position.index])
                .map((position) => position.symbol)
                .join(' '),
            figure && !figure.lift.relative && mm(figure.lift.stroke),
            flanks && degRange(flanks),
            figure?.pressureAngle && at(deg(Math.abs(figure.pressureAngle.value)), figure.pressureAngle.at),
            radius && at(mm(radius.value), radius.at),
            figure?.lostLift && figure.lostLift.value > touch && at(mm(figure.lostLift.value), figure.lostLift.at),
            wall && at(mm(wall.value), wall.at),
            [...new Set(marks.map((mark) => mark.tag))].join(' '),
          ];
        })}
      />
      <Table
        caption="Rests"
        heads={['Rest', 'Symbol', 'What the bars do']}
        rows={figures.positions.map((_, across) => {
          const rest = restAt(view, across);
          return [rest, figures.positions[rest].symbol.trim() || 'blank', faceSentence(barsAt(view, across))];
        })}
      />
      {figures.forces.cases
        .filter(({ usedByFindings }) => usedByFindings)
        .map(({ friction, direction, steps }) => (
          <Table
            key={direction}
            caption={`What each step takes, ${friction}, ${direction === 'forward' ? 'forward' : 'in reverse'}`}
            heads={[
              'Step',
              'Greatest push',
              'Greatest torque',
              'of it each bar',
              'Mean torque',
              'Falling bars drive on with',
              'Return over what hinders it, at least',
            ]}
            rows={steps.map((step) => [
              between(view, step.index, direction),
              step.jammed.length > 0
                ? `${listed(step.jammed)} locks`
                : step.peakPush !== undefined && newtons(step.peakPush),
              torque(step.peakTorque),
              step.shares.map(({ segment, torque }) => `${segment} ${plain(torque, 1)}`).join(', '),
              torque(step.meanTorque),
              step.leastTorque !== undefined && step.leastTorque < -1e-6 && torque(-step.leastTorque),
              step.returnMargin &&
                `${ratioText(step.returnMargin.back / step.returnMargin.hindrance)} for ${step.returnMargin.segment}`,
            ])}
          />
        ))}
      <Table
        caption="Friction at which a bar can no longer be lifted"
        heads={['Bar', 'Friction']}
        rows={figures.forces.jamFriction.map(({ segment, friction }) => [
          segment,
          friction === undefined ? 'none up to 3' : plain(friction),
        ])}
      />
      <Table
        caption="Play at the rests, against the rest margin"
        heads={['Cam', 'Root sum square', 'At worst', 'Read right within', 'Most of it from']}
        rows={figures.cams.flatMap(({ name, restError, restMargin }) =>
          restError
            ? [
                [
                  name,
                  `±${deg(restError.rss, 2)}`,
                  `±${deg(restError.worst, 2)}`,
                  restMargin === undefined ? 'any turn' : deg(restMargin, 2),
                  restError.from
                    .slice(0, 3)
                    .map(({ what, angle }) => `${what} ±${deg(angle, 2)}`)
                    .join(', '),
                ],
              ]
            : [],
        )}
      />
      <Table
        caption="Shafts"
        heads={['Shaft', 'Turns']}
        rows={figures.shafts.map((figure) => [figure.name, shaftSentence({ figure }).replace(/^\S+ /, '')])}
      />
      <Table
        caption="Keys"
        heads={['Key', 'Ways on', 'Ways on turned over', 'Play', 'On it another part']}
        rows={figures.keyed.keys.map(({ name, waysOn, play }) => [
          name,
          waysOn.turned,
          waysOn.flipped,
          deg(play, 2),
          figures.keyed.parts
            .filter((part) => part.key === name)
            .flatMap((part) => wrongWays(part.name, part.wrongTurns, part.wrongFlips.length))
            .join('; '),
        ])}
      />
      <Table
        caption={`Least gaps in a turn, under ${near} mm`}
        heads={['Between', 'And', 'Gap', 'At the turn']}
        rows={gapRows(view)}
      />
      <Table
        caption="Stacks, from the face back"
        heads={['Shaft', 'Part', 'Level', 'From', 'To', 'Height']}
        rows={figures.stack.parts.map((part) => [
          part.shaft,
          stackedWords(part),
          part.level,
          mm(part.from),
          mm(part.to),
          mm(part.to - part.from),
        ])}
      />
    </div>
  );
}

/** A table whose first column heads its rows; none where there is nothing to tell. */
function Table(props: {
  caption: string;
  heads: readonly string[];
  rows: readonly (readonly (string | number | false | undefined)[])[];
}) {
  const { caption, heads, rows } = props;
  if (rows.length === 0) return null;
  return (
    <table>
      <caption>{caption}</caption>
      <thead>
        <tr>
          {heads.map((head) => (
            <th key={head} scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row, index) => (
          <tr key={index}>
            {row.map(
              (cell, column): ComponentChildren =>
                column === 0 ? (
                  <th key={heads[column]} scope="row">
                    {cell}
                  </th>
                ) : (
                  <td key={heads[column]}>{cell}</td>
                ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const torque = (value: number | undefined): string | undefined =>
  value === undefined ? undefined : `${plain(value, 1)} N·mm`;

const newtons = (value: number): string => `${plain(value)} N`;

/** "from 7 to 8"; of a reverse step the other way round. */
function between({ figures: { positions } }: View, index: number, direction: 'forward' | 'reverse'): string {
  const ends = [index, (index + 1) % positions.length].map((at) => positions[at]!.symbol.trim() || 'blank');
  const [from, to] = direction === 'forward' ? ends : ends.reverse();
  return `from ${from} to ${to}`;
}

const at = (value: string, angle: number): string => `${value} at ${bearing(angle)}`;

function wrongWays(name: string, turns: readonly number[], flips: number): string[] {
  const turned = turns.length > 0 ? [`turned by ${listed(turns.map((turn) => deg(turn)))}`] : [];
  const ways = flips > 0 ? [...turned, 'turned over'] : turned;
  return ways.length > 0 ? [`${name} ${ways.join(' or ')}`] : [];
}

const stackedWords = ({ kind, name }: StackedPart): string =>
  kind === 'flange' ? `flange of ${name}` : kind === 'cam' || kind === 'gear' ? name : kind;

/** What comes nearer than is of no interest, the nearest first; without what touches by design. */
function gapRows({ figures: { encounters } }: View) {
  const all: [string, string, Encounter][] = [
    ...encounters.clearances.map((one): [string, string, Encounter] => [
      inWords(one.between[0]),
      inWords(one.between[1]),
      one,
    ]),
    ...apartByDesign(encounters.posts).map((one): [string, string, Encounter] => [
      inWords(one.of),
      inWords(one.against),
      one,
    ]),
    ...encounters.bars.map((one): [string, string, Encounter] => [
      `bar ${one.segments[0]}`,
      `bar ${one.segments[1]}`,
      one,
    ]),
  ];
  return all
    .filter(([, , { gap }]) => gap < near)
    .sort(([, , one], [, , other]) => one.gap - other.gap)
    .map(([one, other, encounter]) => [one, other, gapWords(encounter), momentWords(encounter)]);
}

/** As precise as it is reckoned. */
function gapWords(encounter: Encounter): string {
  const { gap, within } = encounter;
  const digits = within > 0.02 ? 1 : 2;
  return meets(encounter) ? `touch, ${plain(-gap, digits)} mm deep` : `${plain(gap, digits)} mm`;
}

function momentWords({ turn, touching, anyStand, within }: Encounter): string {
  if (anyStand) return 'any';
  if (turn === undefined) return 'all round';
  const digits = within > 0.02 ? 0 : 1;
  const spans = touching.map(([from, to]) => `${deg(from, digits)}–${deg(to, digits)}`);
  return spans.length > 0 ? `${deg(turn, digits)}, touching ${listed(spans)}` : deg(turn, digits);
}
