/** The chart's webview: mounts the drawing, keeps its state, and passes messages both ways. */
import { render } from 'preact';
import type { ChartState, FromChart, ToChart } from '../../server/protocol.ts';

declare function acquireVsCodeApi(): {
  postMessage(message: FromChart): void;
  setState(state: { readonly uri: string }): void;
};

const editor = acquireVsCodeApi();
let state: ChartState | null = null;

function draw() {
  render(
    <pre>{JSON.stringify(state?.mechanisms.map(({ mechanism }) => mechanism.name))}</pre>,
    document.getElementById('chart')!,
  );
}

window.addEventListener('message', ({ data }: MessageEvent<ToChart>) => {
  if (data.type === 'state') {
    state = data.state;
    if (state) editor.setState({ uri: state.uri });
  }
  draw();
});
editor.postMessage({ type: 'ready' });
