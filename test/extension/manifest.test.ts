import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { clientId } from '../../extension/names.ts';

const manifest = JSON.parse(readFileSync('package.json', 'utf8'));
const words: Record<string, string> = JSON.parse(readFileSync('package.nls.json', 'utf8'));
const { contributes } = manifest;

const sources = readdirSync('extension', { recursive: true, encoding: 'utf8' })
  .filter((name) => /\.tsx?$/.test(name))
  .map((name) => readFileSync(`extension/${name}`, 'utf8'))
  .join('\n');

const found = (pattern: RegExp, text: string) => [...text.matchAll(pattern)].map(([, name]) => name!);
const commands: string[] = contributes.commands.map(({ command }: { command: string }) => command);

describe('the manifest', () => {
  it('offers the commands that are registered, and no others', () => {
    const constants = Object.fromEntries(
      [...sources.matchAll(/const (\w+Command) = '([^']+)'/g)].map(([, name, value]) => [name, value]),
    );
    const registered = found(/registerCommand\(\s*('[^']+'|\w+)/g, sources);
    expect(registered.map((name) => constants[name] ?? name.slice(1, -1)).sort()).toEqual([...commands].sort());
  });

  it('shows no command in a menu, a key or a walkthrough that it does not offer', () => {
    const menus = Object.values<{ command: string }[]>(contributes.menus).flat();
    const used = [...menus, ...contributes.keybindings].map(({ command }) => command);
    const linked = Object.values(words).flatMap((text) => found(/\(command:([\w.]+)/g, text));
    for (const command of [...used, ...linked]) expect(commands).toContain(command);
    for (const step of contributes.walkthroughs[0].steps)
      for (const event of step.completionEvents ?? [])
        if (event.startsWith('onCommand:')) expect(commands).toContain(event.slice('onCommand:'.length));
  });

  it('finds every text that it names, and names every text that is there', () => {
    const named = found(/"%([^%"]+)%"/g, JSON.stringify(manifest));
    expect([...new Set(named)].sort()).toEqual(Object.keys(words).sort());
  });

  it('reads every setting that it offers, and offers every setting that it reads', () => {
    const offered = Object.keys(contributes.configuration.properties);
    const read = found(/getConfiguration\(clientId\)\s*\.get(?:<\w+>)?\('([^']+)'/g, sources);
    expect(read.map((name) => `${clientId}.${name}`).sort()).toEqual(offered.sort());
  });

  it('names files that are there', () => {
    const paths = [
      manifest.icon,
      ...contributes.languages.flatMap((language: { configuration: string; icon: { light: string; dark: string } }) => [
        language.configuration,
        language.icon.light,
        language.icon.dark,
      ]),
      ...[...contributes.grammars, ...contributes.snippets].map(({ path }: { path: string }) => path),
      ...contributes.commands.flatMap(({ icon }: { icon?: { light: string; dark: string } }) =>
        icon ? [icon.light, icon.dark] : [],
      ),
      ...contributes.walkthroughs[0].steps.map(({ media }: { media: { markdown: string } }) => media.markdown),
    ];
    for (const path of paths) expect(existsSync(path), path).toBe(true);
  });

  it('matches what the command line prints', () => {
    const { pattern } = contributes.problemMatchers[0];
    const line = 'piers/berth sign.lobe:12:5: warning long-travel: travel 35 deg is more than the step: 30 deg';
    const matched = new RegExp(pattern.regexp).exec(line)!;
    const part = (name: string) => matched[pattern[name]];
    expect(['file', 'line', 'column', 'severity', 'code'].map(part)).toEqual([
      'piers/berth sign.lobe',
      '12',
      '5',
      'warning',
      'long-travel',
    ]);
    expect(part('message')).toBe('travel 35 deg is more than the step: 30 deg');
  });

  it('is the same client as its settings and links speak of', () => {
    expect(clientId).toBe(manifest.name);
    expect(Object.keys(contributes.configuration.properties).every((name) => name.startsWith(`${clientId}.`))).toBe(
      true,
    );
  });
});
