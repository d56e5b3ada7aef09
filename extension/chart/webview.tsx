/** The chart's webview: draws what the extension sends, and tells it what was clicked. */
import { render } from 'preact';
import type { Place } from '../../language/mechanism.ts';
import chartStyle from '../../server/outputs/chart/chart.css';
import { Chart } from '../../server/outputs/chart/chart.tsx';
import drawingStyle from '../../server/outputs/chart/drawing.css';
import type { ChartState, FromChart, ToChart } from '../../server/protocol.ts';
import ownStyle from './webview.css';

declare function acquireVsCodeApi(): {
  postMessage(message: FromChart): void;
  /** Kept by the editor for when it restores the panel. */
  setState(state: { readonly uri: string }): void;
};

const editor = acquireVsCodeApi();
const place = document.getElementById('page')!;

let state: ChartState | null = null;
let isAgainst = false;
let selected: { readonly mechanism: string; readonly part?: string } | undefined;

const select = (place: Place) => editor.postMessage({ type: 'select', place });

/** The maker sees at once what is chosen; what it needs comes with the next state. */
function holdAgainst(on: boolean): void {
  isAgainst = on;
  editor.postMessage({ type: 'against', on });
  draw();
}

function draw(): void {
  const { mechanisms = [], stale, against } = state ?? {};
  const known = against && 'ghosts' in against ? { ghosts: against.ghosts } : { ghosts: [], ...against };
  render(
    <Chart
      mechanisms={mechanisms}
      selected={selected}
      stale={stale?.reason}
      against={{ label: 'the committed version', on: isAgainst, onToggle: holdAgainst, ...known }}
      onSelect={select}
    />,
    place,
  );
}

window.addEventListener('message', ({ data }: MessageEvent<ToChart>) => {
  switch (data.type) {
    case 'state':
      if (data.state?.uri !== state?.uri) selected = undefined;
      state = data.state;
      isAgainst = data.against;
      if (state) editor.setState({ uri: state.uri });
      break;
    case 'cursor':
      selected = data;
      break;
  }
  draw();
});

const style = new CSSStyleSheet();
style.replaceSync([drawingStyle, chartStyle, ownStyle].join('\n'));
document.adoptedStyleSheets = [style];
editor.postMessage({ type: 'ready' });
