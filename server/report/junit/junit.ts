/**
 * JUnit's XML as CI servers read it: a suite per file or formula, a case per thing looked at. There is no standard; this keeps to what the
 * schemas in use share (testsuites, testsuite, testcase, failure, system-out).
 */
import { escapeXml } from '../xml.ts';

export interface Case {
  readonly name: string;
  /** Where it stands: `formulas.pour:12`. */
  readonly place: string;
  /** Nothing for a case that passes. */
  readonly failure?: { readonly type: string; readonly message: string; readonly text: string };
  readonly said?: string;
}

export interface Suite {
  readonly name: string;
  readonly cases: readonly Case[];
}

export function junitText(name: string, suites: readonly Suite[]): string {
  const counts = (cases: readonly Case[]) =>
    `tests="${cases.length}" failures="${cases.filter(({ failure }) => failure).length}" errors="0"`;
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="${escapeXml(name)}" ${counts(suites.flatMap(({ cases }) => cases))}>`,
    ...suites.flatMap((suite) => [
      `  <testsuite name="${escapeXml(suite.name)}" ${counts(suite.cases)} skipped="0">`,
      ...suite.cases.flatMap((one) => caseLines(suite, one)),
      '  </testsuite>',
    ]),
    '</testsuites>',
  ].join('\n');
}

function caseLines(suite: Suite, { name, place, failure, said }: Case): string[] {
  const open = `    <testcase name="${escapeXml(name)}" classname="${escapeXml(suite.name)}"`;
  const inside = [
    ...(failure
      ? [
          `      <failure type="${escapeXml(failure.type)}" message="${escapeXml(failure.message)}">${escapeXml(`${place}\n${failure.text}`)}</failure>`,
        ]
      : []),
    ...(said === undefined ? [] : [`      <system-out>${escapeXml(said)}</system-out>`]),
  ];
  return inside.length === 0 ? [`${open}/>`] : [`${open}>`, ...inside, '    </testcase>'];
}
