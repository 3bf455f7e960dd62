/** Reviews and findings in the forms of CI: SARIF 2.1.0 (OASIS), JUnit's XML, Markdown, and a page of HTML. */
import Ajv from 'ajv';
import { SaxesParser } from 'saxes';
import { beforeAll, describe, expect, it } from 'vitest';
import { checkJUnit } from '../../../server/report/junit/check.ts';
import { repository } from '../command/repository.ts';
import { folderOf, pourbook } from '../command/shop.ts';
import { book, card } from '../command/small-book.ts';

/**
 * The parts of the SARIF 2.1.0 schema (OASIS Standard with errata 01, sarif-schema-2.1.0.json) that what we write makes use of:
 * required members, types, enumerations, bounds; nothing beside them may stand where the standard closes an object.
 */
const object = (properties: Record<string, unknown>, required: readonly string[] = []) => ({
  type: 'object',
  additionalProperties: false,
  properties,
  required,
});
const message = object({ text: { type: 'string' }, markdown: { type: 'string' } }, ['text']);
const SARIF = object(
  {
    $schema: { type: 'string', format: 'uri' },
    version: { enum: ['2.1.0'] },
    runs: {
      type: 'array',
      items: object(
        {
          tool: object(
            {
              driver: object(
                {
                  name: { type: 'string' },
                  rules: {
                    type: 'array',
                    uniqueItems: true,
                    items: object({ id: { type: 'string' }, shortDescription: message, help: message }, ['id']),
                  },
                },
                ['name'],
              ),
            },
            ['driver'],
          ),
          columnKind: { enum: ['utf16CodeUnits', 'unicodeCodePoints'] },
          results: {
            type: 'array',
            items: object(
              {
                ruleId: { type: 'string' },
                ruleIndex: { type: 'integer', minimum: -1 },
                level: { enum: ['none', 'note', 'warning', 'error'] },
                message,
                locations: {
                  type: 'array',
                  items: object({
                    physicalLocation: object({
                      artifactLocation: object({ uri: { type: 'string', format: 'uri-reference' } }),
                      region: object({
                        startLine: { type: 'integer', minimum: 1 },
                        startColumn: { type: 'integer', minimum: 1 },
                      }),
                    }),
                  }),
                },
              },
              ['message'],
            ),
          },
        },
        ['tool'],
      ),
    },
  },
  ['version', 'runs'],
);
const ajv = new Ajv({ allErrors: true, formats: { uri: /^[a-z]+:\S+$/, 'uri-reference': /^[^\s<>"{}|\\^`]*$/ } });
const validSarif = ajv.compile(SARIF);

function sarif(text: string) {
  const log = JSON.parse(text);
  expect(validSarif(log), JSON.stringify(validSarif.errors)).toBe(true);
  const [run] = log.runs;
  for (const { ruleId, ruleIndex } of run.results) expect(run.tool.driver.rules[ruleIndex].id).toBe(ruleId);
  return run;
}

interface Element {
  readonly name: string;
  readonly attributes: Record<string, string>;
  readonly children: Element[];
}

/** What the JUnit schemas in use share: which elements stand in which, and what each must say. */
const JUNIT: Record<string, { in: string | undefined; needs: readonly string[] }> = {
  testsuites: { in: undefined, needs: ['name', 'tests', 'failures', 'errors'] },
  testsuite: { in: 'testsuites', needs: ['name', 'tests', 'failures', 'errors', 'skipped'] },
  testcase: { in: 'testsuite', needs: ['name', 'classname'] },
  failure: { in: 'testcase', needs: ['type', 'message'] },
  'system-out': { in: 'testcase', needs: [] },
};

function junit(text: string): Element {
  const open: Element[] = [];
  let root: Element | undefined;
  const parser = new SaxesParser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) => {
    const element = { name, attributes: attributes as Record<string, string>, children: [] };
    const rule = JUNIT[name];
    expect(rule, name).toBeDefined();
    expect(open.at(-1)?.name).toBe(rule!.in);
    expect(Object.keys(element.attributes).sort()).toEqual([...rule!.needs].sort());
    open.at(-1)?.children.push(element);
    root ??= element;
    open.push(element);
  });
  parser.on('closetag', () => {
    const element = open.pop()!;
    const cases =
      element.name === 'testsuite' ? element.children : element.children.flatMap(({ children }) => children);
    if (element.name !== 'testsuite' && element.name !== 'testsuites') return;
    expect(element.attributes.tests).toBe(String(cases.length));
    const failed = cases.filter(({ children }) => children.some(({ name }) => name === 'failure'));
    expect(element.attributes.failures).toBe(String(failed.length));
  });
  parser.write(text).close();
  return root!;
}

const REST = book()['rest.pour']!;
const OFF = card('C-2', '10', '53', '2026-10-01');
/** The folder is taken away after the first test, so every form is written before. */
const forms = new Map<string, string>();

beforeAll(async () => {
  const made = await repository({ ...book(), 'old.pour': 'formula OLD-1 "Gone"\n  toner BLK-1 1\n' });
  await made.commit('second', {
    'rest.pour': `${REST.replace('"Gull Grey"', '"Gull | <b>Grey</b>"')}\n${OFF}`,
    'old.pour': null,
    'new one.pour': 'formula NEW-1 "New"\n  toner WHT-1 1\n',
  });
  for (const format of ['sarif', 'junit', 'markdown', 'html'])
    forms.set(format, (await pourbook(made.folder, 'review', 'HEAD~1..HEAD', '--format', format)).out);
});

const written = (format: string): string => forms.get(format)!;

describe('a review', () => {
  it('as SARIF points at the head of the formula', async () => {
    const { results } = sarif(written('sarif'));
    expect(results.map(({ ruleId, level }: { ruleId: string; level: string }) => `${level} ${ruleId}`)).toEqual([
      'error expectation-fails',
      'warning colour-needs-a-spray-out',
    ]);
    expect(results[0].locations[0].physicalLocation).toEqual({
      artifactLocation: { uri: 'rest.pour' },
      region: { startLine: REST.split('\n').findIndex((line) => line.startsWith('formula')) + 1 },
    });
    expect(results[1].locations[0].physicalLocation.artifactLocation.uri).toBe('new%20one.pour');
  });

  it('as JUnit', async () => {
    const { children } = junit(written('junit'));
    expect(children.map(({ attributes }) => [attributes.name, attributes.failures])).toEqual([
      ['GUL-2', '1'],
      ['NEW-1', '1'],
      ['OLD-1', '0'],
    ]);
  });

  it('with lines that cannot be read, formulas that cannot be mixed and names that are gone, as SARIF and JUnit', async () => {
    const made = await repository(book());
    const toners = book()['toners.pour']!;
    await made.commit('second', {
      'rest.pour': REST.replace('  standard DOOR\n', '  standard "DOOR" <&>\n').replace(
        'formula GUL-2',
        'frmula GUL-2',
      ),
      'toners.pour': toners.slice(0, toners.indexOf('toner WHT-1')),
      'more.pour': 'formula X-1 "X"\n  toner BLK-1 1\n  undercoat NONE grey N5\n',
    });
    const as = async (format: string) =>
      (await pourbook(made.folder, 'review', 'HEAD~1..HEAD', '--format', format)).out;
    const { results } = sarif(await as('sarif'));
    const rules = new Set(results.map(({ ruleId }: { ruleId: string }) => ruleId));
    for (const rule of ['line-cannot-be-read', 'colour-cannot-be-mixed', 'names-what-is-gone'])
      expect(rules).toContain(rule);
    const { children, attributes } = junit(await as('junit'));
    expect(children[0]!.attributes.name).toBe('lines that cannot be read');
    expect(Number(attributes.failures)).toBeGreaterThan(2);
  });

  it('as Markdown: a short table, details folded, nothing of the book read as markup', async () => {
    const text = written('markdown');
    expect(text).toContain('| formula | what it does to the colour | screen only, not for judging |');
    expect(text).toContain('**GUL\\-2** Gull \\| \\<b\\>Grey\\</b\\>');
    expect(text).toMatch(/`#[0-9a-f]{6}` → `#[0-9a-f]{6}`/);
    // Three formulas, the card, the commit.
    expect(text.match(/<details>/g)).toHaveLength(5);
    expect(text.match(/<\/details>/g)).toHaveLength(5);
    expect(text).not.toContain('<b>');
    for (const row of text.split('\n').filter((line) => line.startsWith('| **')))
      expect(row.replaceAll('\\|', '').split('|')).toHaveLength(5);
  });

  it('as one page of HTML that asks for nothing else', async () => {
    const page = written('html');
    expect(page).toMatch(/^<!doctype html>/);
    expect(page).not.toMatch(/<script|<link|src=|href=|url\(/);
    expect(page).toContain('Gull | &lt;b&gt;Grey&lt;/b&gt;');
    expect(page).not.toMatch(/NaN|undefined|null/);
    for (const tag of ['article', 'table', 'ul', 'p', 'tr', 'div'])
      expect(page.match(new RegExp(`<${tag}[ >]`, 'g'))?.length ?? 0, tag).toBe(
        page.match(new RegExp(`</${tag}>`, 'g'))?.length ?? 0,
      );
  });
});

describe('a check', () => {
  it('in every form, with and without findings', async () => {
    const bad = await folderOf({ 'a b.pour': 'formula A "a & b"\n  toner NONE 1\n  tonner X 1\n' });
    const good = await folderOf({ 'a.pour': 'toner A "a"\nformula B "b"\n  toner A 1\n' });
    const check = async (where: string, format: string) => (await pourbook(where, 'check', '--format', format)).out;
    const { findings } = JSON.parse(await check(bad, 'json'));
    const run = sarif(await check(bad, 'sarif'));
    expect(run.results).toHaveLength(findings.length);
    expect(run.results[0].locations[0].physicalLocation).toMatchObject({
      artifactLocation: { uri: 'a%20b.pour' },
      region: { startLine: findings[0].line, startColumn: findings[0].column },
    });
    expect(junit(await check(bad, 'junit')).attributes).toMatchObject({ failures: String(findings.length) });
    expect(await check(bad, 'markdown')).toContain('| a b.pour:2:9 | error |');
    expect(await check(bad, 'text')).toContain('[name-unknown]');
    const page = await check(bad, 'html');
    expect(page).toMatch(/^<!doctype html>/);
    expect(page).not.toMatch(/<script|<link|src=|href=|url\(|undefined/);
    expect(page.match(/<tr class="/g)).toHaveLength(findings.length);
    for (const { code } of findings) expect(page).toContain(`<code>${code}</code></dt><dd>`);
    expect(await check(good, 'html')).toContain('0 errors');
    const clean = JSON.parse(await check(good, 'json')).findings.length;
    expect(sarif(await check(good, 'sarif')).results).toHaveLength(clean);
    junit(await check(good, 'junit'));
    expect((await pourbook(good, 'check', '--format', 'pdf')).code).toBe(2);
  });

  it('as JUnit a remark is no failure', () => {
    const at = { code: 'card-earlier', file: 'a.pour', line: 1, column: 1, message: 'This card shows A as it was.' };
    const findings = [
      { ...at, severity: 'info' as const },
      { ...at, severity: 'warning' as const, line: 2 },
    ];
    const text = checkJUnit({ findings, files: 1, entries: 2 });
    expect(junit(text).attributes).toMatchObject({ tests: '2', failures: '1' });
    expect(text).toContain('<system-out>This card shows A as it was.</system-out>');
  });
});
