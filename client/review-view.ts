/** Runs in the panel: lays the review out, a short list first. All text is put in as text, never as markup. */

export interface PlaceShown {
  readonly uri: string;
  readonly file: string;
  /** From 1. */
  readonly line: number;
  readonly version: 'before' | 'after';
}

interface Figures {
  readonly caption: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly marked: readonly boolean[];
  readonly right: readonly boolean[];
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly line: string;
  readonly status: string;
  readonly place: PlaceShown;
  readonly sentence: string;
  readonly callOuts: readonly string[];
  readonly reason: string;
  readonly facts: readonly { readonly what: string; readonly before: string | null; readonly after: string }[];
  readonly remarks: readonly string[];
  readonly tables: readonly Figures[];
}

interface Review {
  readonly title: string;
  readonly sum: string;
  readonly notes: readonly string[];
  readonly rows: readonly Row[];
  readonly entries: readonly { readonly entry: string; readonly text: string; readonly place: PlaceShown }[];
  readonly markdown: string;
}

/** What the server tells (`pourbook/review`). */
export type Shown = Review | { readonly problem: string };

/** What the panel asks of the extension. */
export type Asked = { readonly do: 'ready' | 'copy' | 'choose' } | { readonly do: 'open'; readonly place: PlaceShown };

declare function acquireVsCodeApi(): { postMessage(message: Asked): void };

const host = acquireVsCodeApi();
const byId = (id: string) => document.getElementById(id)!;
const words: Readonly<Record<string, string>> = JSON.parse(byId('review').dataset.words ?? '{}');
const main = byId('review');
/** The formula from which the panel was opened. */
let current: string | undefined;

byId('buttons').append(
  button(words.copy!, () => host.postMessage({ do: 'copy' })),
  ' ',
  button(words.choose!, () => host.postMessage({ do: 'choose' })),
);

window.addEventListener('message', ({ data }: MessageEvent<Shown | { readonly formula: string }>) => {
  if ('formula' in data) point(data.formula);
  else if ('problem' in data) lay({ title: '', sum: data.problem, notes: [], rows: [], entries: [], markdown: '' });
  else lay(data);
});

function lay(review: Review): void {
  const focused = document.activeElement?.id;
  const { scrollY } = window;
  say('title', capital(review.title));
  say('sum', capital(review.sum));
  main.replaceChildren(
    ...review.notes.map((note) => element('p', `${capital(note)}.`, 'note')),
    ...(review.rows.length > 0 ? [list(review.rows)] : []),
    ...review.rows.map(details),
    ...(review.entries.length > 0 ? [others(review.entries)] : []),
  );
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
  window.scrollTo({ top: scrollY });
}

/** The same sentence again is no news to a screen reader. */
function say(id: string, text: string): void {
  if (byId(id).textContent !== text) byId(id).textContent = text;
}

function list(rows: readonly Row[]): HTMLElement {
  const made = element('ol');
  made.setAttribute('aria-label', words.changed!);
  made.append(...rows.map(listed));
  made.addEventListener('keydown', step);
  return made;
}

function listed(row: Row): HTMLElement {
  const made = button('', () => host.postMessage({ do: 'open', place: row.place }));
  made.className = 'row';
  made.id = `row ${row.id}`;
  made.title = `${words.lines}: ${row.place.file}:${row.place.line}`;
  if (row.id === current) made.setAttribute('aria-current', 'true');
  made.append(
    element('b', row.id),
    ' ',
    element('span', row.status, 'status'),
    ' ',
    element('span', row.line, 'line'),
    ...row.callOuts.flatMap((callOut) => [' ', element('span', callOut, 'callout')]),
  );
  const item = element('li');
  item.append(made);
  return item;
}

/** Up and down go through the list. */
function step(event: KeyboardEvent): void {
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (by === undefined) return;
  const rows = [...document.querySelectorAll<HTMLElement>('button.row')];
  rows[rows.indexOf(document.activeElement as HTMLElement) + by]?.focus();
  event.preventDefault();
}

function details(row: Row): HTMLElement {
  const made = element('section');
  made.id = `details ${row.id}`;
  const to = button(words.lines!, () => host.postMessage({ do: 'open', place: row.place }));
  to.id = `lines ${row.id}`;
  to.setAttribute('aria-label', `${words.lines}: ${row.id}`);
  const where = element('p', '', 'note');
  where.append(`${row.place.file}:${row.place.line} `, to);
  made.append(
    element('h2', `${row.id} ${row.name}`),
    element('p', row.sentence),
    ...row.callOuts.map((callOut) => element('p', callOut, 'callout')),
    ...(row.reason ? [element('p', `${capital(row.reason)}.`)] : []),
    where,
    ...row.tables.flatMap((figures) => [element('h3', figures.caption), table(figures)]),
    ...(row.facts.length > 0 ? [facts(row)] : []),
    ...row.remarks.map((remark) => element('p', remark)),
  );
  return made;
}

function facts({ facts: all }: Row): HTMLElement {
  const head = element('tr');
  head.append(element('th'), element('th', words.before), element('th', words.now));
  const made = element('table');
  made.append(
    head,
    ...all.map(({ what, before, after }) => {
      const line = element('tr');
      const same = before === after;
      line.append(element('td', what), element('td', before ?? '–'));
      line.append(element('td', same ? words.same : after, same ? 'same' : ''));
      return line;
    }),
  );
  return made;
}

function table({ head, rows, marked, right }: Figures): HTMLElement {
  const line = (cells: readonly string[], name: string) => {
    const made = element('tr');
    made.append(...cells.map((cell, n) => element(name, cell, right[n] ? 'n' : '')));
    return made;
  };
  const made = element('table');
  const body = rows.map((cells, n) => {
    const row = line(cells, 'td');
    row.classList.toggle('marked', marked[n] === true);
    return row;
  });
  made.append(line(head, 'th'), ...body);
  return made;
}

function others(entries: Review['entries']): HTMLElement {
  const made = element('section');
  const rows = entries.map(({ entry, text, place }) => {
    const row = button('', () => host.postMessage({ do: 'open', place }));
    row.className = 'row';
    row.id = `entry ${entry}`;
    row.append(element('b', entry), ' ', element('span', text, 'line'));
    const item = element('li');
    item.append(row);
    return item;
  });
  const list = element('ol');
  list.append(...rows);
  list.addEventListener('keydown', step);
  made.append(element('h2', words.entries), list);
  return made;
}

/** Brings the details of a formula into sight. */
function point(formula: string): void {
  current = formula;
  for (const row of document.querySelectorAll('button.row'))
    if (row.id === `row ${formula}`) row.setAttribute('aria-current', 'true');
    else row.removeAttribute('aria-current');
  document.getElementById(`details ${formula}`)?.scrollIntoView();
}

function button(text: string, press: () => void): HTMLButtonElement {
  const made = element('button', text) as HTMLButtonElement;
  made.type = 'button';
  made.addEventListener('click', press);
  return made;
}

function element(name: string, text = '', className = ''): HTMLElement {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

const capital = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

host.postMessage({ do: 'ready' });
