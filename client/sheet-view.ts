/** Runs in the panel: lays the sheet out, keeps the ticks and says what comes next. All text is put in as text, never as markup. */

/** What the server tells (`pourbook/sheet`). */
export type Shown = Sheet | { readonly problem: string };

export interface Asked {
  readonly amount?: string;
  readonly unit?: string;
}

interface Row {
  readonly code: string;
  readonly name: string;
  readonly running: string;
  readonly pour: string;
  readonly done: boolean | null;
}

interface Section {
  readonly title: string;
  readonly rows: readonly Row[];
  readonly lines: readonly string[];
}

interface Sheet {
  readonly key: string;
  readonly title: string;
  readonly subtitle: string;
  readonly next: string | null;
  readonly sections: readonly Section[];
  readonly cautions: readonly string[];
  readonly amount: boolean;
}

declare function acquireVsCodeApi(): { postMessage(message: unknown): void };

const host = acquireVsCodeApi();
const byId = <T extends HTMLElement>(id: string) => document.getElementById(id) as T;
const [form, number, unit, next, main] = [
  byId<HTMLFormElement>('amount'),
  byId<HTMLInputElement>('number'),
  byId<HTMLSelectElement>('unit'),
  byId('next'),
  byId('sheet'),
];
const ticks = new Map<string, Set<string>>();

const ask = () => host.postMessage({ amount: number.value, unit: unit.value });
form.addEventListener('submit', (event) => event.preventDefault());
form.addEventListener('input', ask);

window.addEventListener('message', ({ data }: MessageEvent<Shown>) => {
  if ('problem' in data) {
    main.replaceChildren();
    say(data.problem);
    return;
  }
  lay(data);
});

/** The same sentence again is no news to a screen reader. */
function say(text: string): void {
  if (next.textContent !== text) next.textContent = text;
}

function lay(shown: Sheet): void {
  const focused = document.activeElement?.id;
  form.hidden = !shown.amount;
  main.replaceChildren(
    element('h1', shown.title),
    element('p', shown.subtitle),
    ...shown.sections.flatMap((section) => [
      element('h2', section.title),
      ...(section.rows.length > 0 ? [table(shown, section)] : []),
      ...section.lines.map((line) => element('p', line)),
    ]),
    ...shown.cautions.map((caution) => element('p', caution, 'cautions')),
  );
  if (focused) document.getElementById(focused)?.focus();
  tell(shown);
}

/** The same for as long as it is the same pour, whatever is laid out before it. */
const tickId = ({ title, rows }: Section, row: Row): string => `${title} ${row.code} ${rows.indexOf(row)}`;

function table(shown: Sheet, section: Section): HTMLElement {
  const { poured = '', name = '', shows = '', pour = '' } = main.dataset;
  const head = element('tr');
  head.append(heading(poured), heading(name), heading(shows, 'n'), heading(pour, 'n'));
  const made = element('table');
  const [top, body] = [element('thead'), element('tbody')];
  top.append(head);
  body.append(...section.rows.map((row) => rowOf(shown, section, row)));
  made.setAttribute('aria-label', section.title);
  made.append(top, body);
  return made;
}

function heading(text: string, className = ''): HTMLElement {
  const made = element('th', text, className);
  made.setAttribute('scope', 'col');
  return made;
}

function rowOf(shown: Sheet, section: Section, row: Row): HTMLElement {
  const line = element('tr');
  const id = tickId(section, row);
  const done = row.done ?? ticksOf(shown).has(id);
  line.classList.toggle('done', done);
  const box = document.createElement('input');
  Object.assign(box, { type: 'checkbox', id, checked: done, disabled: row.done !== null });
  box.setAttribute('aria-label', [row.code, row.name, next.dataset.until, row.running].filter(Boolean).join(' '));
  box.addEventListener('change', () => tick(shown, id, box.checked, line));
  const label = element('label', ` ${row.code}`, 'code');
  label.prepend(box);
  const first = element('td');
  first.append(label);
  line.append(first, element('td', row.name), element('td', row.running, 'n lead'), element('td', row.pour, 'n'));
  return line;
}

/** Up and down go from box to box, so that a column is ticked off with two fingers. */
main.addEventListener('keydown', (event) => {
  const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
  const boxes = [...main.querySelectorAll<HTMLInputElement>('input[type=checkbox]:enabled')];
  const at = boxes.indexOf(document.activeElement as HTMLInputElement);
  if (step === 0 || at < 0) return;
  event.preventDefault();
  boxes[at + step]?.focus();
});

function ticksOf({ key }: Sheet): Set<string> {
  if (!ticks.has(key)) ticks.set(key, new Set());
  return ticks.get(key)!;
}

function tick(shown: Sheet, id: string, on: boolean, line: HTMLElement): void {
  if (on) ticksOf(shown).add(id);
  else ticksOf(shown).delete(id);
  line.classList.toggle('done', on);
  tell(shown);
}

function tell(shown: Sheet): void {
  say(shown.next ?? nextRow(shown));
}

/** The first row without a tick, from the undercoat on. */
function nextRow(shown: Sheet): string {
  const done = ticksOf(shown);
  for (const section of shown.sections) {
    const row = section.rows.find((one) => !done.has(tickId(section, one)));
    if (row) return `${row.code} ${next.dataset.until} ${row.running}`;
  }
  return next.dataset.allIn ?? '';
}

function element(name: string, text = '', className = ''): HTMLElement {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

ask();
