import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));
const text = (file: string) => readFileSync(`${root}${file}`, 'utf8');
const manifest = JSON.parse(text('package.json'));
const { contributes } = manifest;

const sources = (folder: string): string[] =>
  readdirSync(`${root}${folder}`, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => `${folder}/${file}`);

describe('the manifest', () => {
  test('wakes the extension for books only', () => {
    expect(manifest.activationEvents).toEqual(['onLanguage:pour', 'workspaceContains:**/*.pour']);
  });

  test('names only files that exist, built ones aside', () => {
    const files = [
      manifest.icon,
      ...contributes.languages.flatMap((each: { configuration: string; icon: Record<string, string> }) => [
        each.configuration,
        ...Object.values(each.icon),
      ]),
      ...contributes.grammars.map((each: { path: string }) => each.path),
      ...(contributes.walkthroughs ?? []).flatMap((each: { steps: { media: Record<string, unknown> }[] }) =>
        each.steps.flatMap(({ media }) =>
          [media.markdown, media.svg, media.image].filter((path) => typeof path === 'string'),
        ),
      ),
    ];
    expect(files.filter((file) => !existsSync(`${root}${file}`))).toEqual([]);
  });

  test('has an icon of the size that the marketplaces ask for', () => {
    const png = readFileSync(`${root}${manifest.icon}`);
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([256, 256]); // the IHDR chunk's width and height
  });

  test('shows its commands only where there is a book', () => {
    for (const { command, category } of contributes.commands) {
      expect(category, command).toBe('Pourbook');
      const listed = contributes.menus.commandPalette.find((item: { command: string }) => item.command === command);
      expect(listed?.when, command).toMatch(/pourbook\.active|pour/);
    }
  });

  test('contributes no command that the client does not register, and the other way round', () => {
    const code = sources('client').map(text).join('\n');
    const registered = [...code.matchAll(/registerCommand\(\s*'([^']+)'/g)].map((match) => match[1]);
    expect(registered.sort()).toEqual(contributes.commands.map((each: { command: string }) => each.command).sort());
  });

  test('has few settings, and each is read somewhere', () => {
    const settings = Object.keys(contributes.configuration.properties);
    expect(settings.length).toBeLessThanOrEqual(10);
    const code = [...sources('client'), ...sources('server')].map(text).join('\n');
    for (const setting of settings) {
      if (setting === 'pourbook.trace.server') continue; // read by the language client itself
      expect(code, setting).toContain(setting.replace(/^pourbook\./, ''));
    }
  });
});

describe('the translations', () => {
  const keys = (file: string) => Object.keys(JSON.parse(text(file))).sort();

  test.each(['de', 'fr'])('%s has every text of the manifest', (language) => {
    expect(keys(`client/l10n/package.nls.${language}.json`)).toEqual(keys('client/l10n/package.nls.json'));
  });

  test('the manifest uses every text, and names none that is missing', () => {
    const used = [...text('package.json').matchAll(/"%([^%"]+)%"/g)].map((match) => match[1]);
    expect([...new Set(used)].sort()).toEqual(keys('client/l10n/package.nls.json'));
  });

  test.each(['de', 'fr'])('%s has every text of the client', (language) => {
    expect(keys(`client/l10n/bundle.l10n.${language}.json`)).toEqual(keys('client/l10n/bundle.l10n.json'));
  });

  test('the client uses every text, and none that is missing', () => {
    const code = sources('client').map(text).join('\n');
    const used = [...code.matchAll(/l10n\.t\(\s*'((?:[^'\\]|\\.)+)'/g)].map((match) => match[1]);
    expect([...new Set(used)].sort()).toEqual(keys('client/l10n/bundle.l10n.json'));
  });
});
