/**
 * CxF3 / ISO 17972-1: objects with spectra and Lab, each of which names the ColorSpecification that says under what light and at
 * which angle it was measured. Read as a stream; a document type, and with it any entity or outer reference, is refused.
 */
import { SaxesParser, type SaxesTagNS } from 'saxes';
import { type CxfObject, type CxfSpecification, type CxfValue, resolveObjects } from './cxf3-objects.ts';
import { collect, type FilePlace, FileRefused, type ImportFindings, type ImportResult, quote } from './imported.ts';
import { placeAt } from './text.ts';

export const CXF3_NAMESPACE = 'http://colorexchangeformat.com/CxF3-core';

const DEEPEST = 40;
const MOST_OBJECTS = 20_000;
const MOST_SPECIFICATIONS = 2_000;
const MOST_ELEMENTS = 400_000;
const MOST_ATTRIBUTES = 64;
const LONGEST_TEXT = 64 * 1024;
/** The text goes to the parser in slices, and in each some tag, comment or text has to end: a piece without end is stopped soon. */
const SLICE = 64 * 1024;

export const looksLikeXml = (text: string): boolean => /^\ufeff?\s*</.test(text);

/** Reads text whose lines end in LF. */
export function readCxf3(text: string): ImportResult {
  return collect((findings) => {
    const reader = new CxfReader(text.replace(/^\ufeff/, ''), findings);
    reader.read();
    return resolveObjects(reader.objects, reader.specifications, findings);
  });
}

class CxfReader {
  readonly objects: CxfObject[] = [];
  readonly specifications = new Map<string, CxfSpecification>();
  readonly #parser = new SaxesParser({ xmlns: true });
  /** Paths of the open elements, by local names below the root; an element of another namespace is an empty name, and none matches. */
  readonly #paths: string[] = [];
  readonly #ids = new Map<string, number>();
  #elements = 0;
  #content = '';
  #opened: FilePlace = { line: 1, column: 1 };
  #object: CxfObject | undefined;
  #specification: CxfSpecification | undefined;
  #value: CxfValue | undefined;

  constructor(
    readonly text: string,
    readonly findings: ImportFindings,
  ) {
    this.#parser.on('error', (error) => this.#malformed(error.message));
    this.#parser.on('doctype', () => this.#doctype());
    this.#parser.on('attribute', () => this.#attribute());
    this.#parser.on('opentagstart', () => this.#tagStart());
    this.#parser.on('opentag', (tag) => this.#open(tag));
    this.#parser.on('text', (text) => this.#text(text));
    this.#parser.on('cdata', (text) => this.#text(text));
    this.#parser.on('closetag', () => this.#close());
    this.#parser.on('comment', () => this.#ended++);
    this.#parser.on('processinginstruction', () => this.#ended++);
  }

  read(): void {
    for (let at = 0; at < this.text.length; at += SLICE) {
      const ended = this.#ended;
      this.#parser.write(this.text.slice(at, at + SLICE));
      if (at > 0 && this.#ended === ended) this.#endless(at);
    }
    this.#parser.close();
  }

  // ---- XML

  /** Counts the tags, texts and comments that came to their end. */
  #ended = 0;

  #endless(at: number): never {
    if (this.#elements === 0 && this.text.includes('<!DOCTYPE')) this.#doctype();
    throw new FileRefused(
      `A single tag, comment or text is longer than ${SLICE} characters; this is no measurement.`,
      placeAt(this.text, at),
    );
  }

  #here(): FilePlace {
    return { line: this.#parser.line, column: Math.max(1, this.#parser.columnIndex) };
  }

  #malformed(message: string): never {
    if (this.#elements === 0 && this.text.includes('<!DOCTYPE')) this.#doctype();
    const plain = message.replace(/^\d+:\d+: /, '').replace(/\.$/, '');
    if (/undefined entity/.test(plain)) {
      throw new FileRefused(
        'Only the five entities of XML itself are read (&lt; &gt; &amp; &apos; &quot;); write the letter.',
        placeAt(this.text, this.text.lastIndexOf('&', this.#parser.position - 1)),
      );
    }
    if (/unclosed|unexpected end/.test(plain)) {
      throw new FileRefused(
        'The XML ends before its last element is closed; the file is cut short, export it again.',
        this.#here(),
      );
    }
    throw new FileRefused(`This is not well-formed XML (${plain}); export the file again.`, this.#here());
  }

  #doctype(): never {
    const at = Math.max(0, this.text.indexOf('<!DOCTYPE'));
    throw new FileRefused(
      'The file has a document type (<!DOCTYPE …>), which may hide endless or outer text; remove it.',
      placeAt(this.text, at),
    );
  }

  #attributes = 0;

  #tagStart(): void {
    this.#attributes = 0;
    if (++this.#elements > MOST_ELEMENTS)
      throw new FileRefused('There are too many elements; export fewer readings.', this.#here());
    if (this.#paths.length >= DEEPEST)
      throw new FileRefused(`Elements are nested deeper than ${DEEPEST}; this is no CxF3.`, this.#here());
  }

  #attribute(): void {
    this.#ended++;
    if (++this.#attributes > MOST_ATTRIBUTES)
      throw new FileRefused('The element has too many attributes; this is no CxF3.', this.#here());
  }

  #text(text: string): void {
    this.#ended++;
    this.#content += text;
    if (this.#content.length > LONGEST_TEXT) {
      throw new FileRefused(
        `The element holds more than ${LONGEST_TEXT} characters; this is no measurement.`,
        this.#opened,
      );
    }
  }

  // ---- CxF

  #open(tag: SaxesTagNS): void {
    const at = this.#here();
    const place = { line: at.line, column: Math.max(1, at.column - this.#tagLength(at)) };
    if (this.#paths.length === 0) this.#root(tag, place);
    const name = tag.uri === CXF3_NAMESPACE ? tag.local : '';
    const path = this.#paths.length < 2 ? (this.#paths.length === 0 ? '' : name) : `${this.#paths.at(-1)}/${name}`;
    this.#paths.push(path);
    this.#ended++;
    this.#content = '';
    this.#opened = { line: at.line, column: this.#parser.columnIndex + 1 };
    const attribute = (name: string): string | undefined => tag.attributes[name]?.value;
    if (path === OBJECT) this.#openObject(attribute, place);
    else if (path === SPECIFICATION) this.#openSpecification(attribute, place);
    else if (this.#object) this.#openInObject(path, attribute, place);
    else if (this.#specification) this.#openInSpecification(path, attribute, place);
  }

  /** Back from the end of a tag to its '<', where the tag stands on one line. */
  #tagLength({ line, column }: FilePlace): number {
    const end = this.#parser.position;
    const start = this.text.lastIndexOf('<', end - 1);
    return end - start > column || line < 1 ? column - 1 : end - start - 1;
  }

  #root(tag: SaxesTagNS, place: FilePlace): void {
    if (tag.local !== 'CxF')
      throw new FileRefused(`The root element is ${quote(tag.name)}, not CxF; export as CxF3 (ISO 17972-1).`, place);
    if (tag.uri === CXF3_NAMESPACE) return;
    throw new FileRefused(
      `The namespace of the root is ${quote(tag.uri)}, not that of CxF3; export as CxF3 (ISO 17972-1).`,
      place,
    );
  }

  #openObject(attribute: (name: string) => string | undefined, place: FilePlace): void {
    if (this.objects.length >= MOST_OBJECTS)
      throw new FileRefused(`There are more than ${MOST_OBJECTS} objects; export fewer.`, place);
    const id = attribute('Id')?.trim() ?? '';
    const name = attribute('Name')?.trim() ?? '';
    if (id === '') this.findings.error(place, 'The object has no Id; give every object its own.');
    const first = this.#ids.get(id);
    if (id !== '' && first !== undefined) {
      this.findings.error(place, `The Id ${quote(id)} comes twice, first in line ${first}; give every object its own.`);
    }
    this.#ids.set(id, place.line);
    if (name === '') this.findings.warning(place, `The object ${quote(id)} has no Name; its Id was taken.`);
    this.#object = { id, name: name || id, place, values: [] };
    this.objects.push(this.#object);
  }

  #openInObject(path: string, attribute: (name: string) => string | undefined, place: FilePlace): void {
    if (!path.startsWith(`${OBJECT}/ColorValues/`)) return;
    const kind = KINDS.get(path.slice(OBJECT.length + '/ColorValues/'.length));
    if (!kind) return;
    this.#value = {
      kind,
      place,
      specification: attribute('ColorSpecification')?.trim() ?? '',
      text: '',
      textPlace: this.#opened,
      figures: new Map(),
    };
    const start = attribute('StartWL');
    if (start !== undefined) this.#value.start = start.trim();
    this.#object!.values.push(this.#value);
  }

  #openSpecification(attribute: (name: string) => string | undefined, place: FilePlace): void {
    if (this.specifications.size >= MOST_SPECIFICATIONS)
      throw new FileRefused('There are too many ColorSpecifications; export fewer.', place);
    const id = attribute('Id')?.trim() ?? '';
    if (id === '') this.findings.error(place, 'The ColorSpecification has no Id; give it one.');
    if (this.specifications.has(id))
      this.findings.error(place, `The ColorSpecification ${quote(id)} comes twice; give every one its own Id.`);
    this.#specification = { id, place, angles: [] };
    this.specifications.set(id, this.#specification);
  }

  #openInSpecification(path: string, attribute: (name: string) => string | undefined, place: FilePlace): void {
    const inner = path.slice(SPECIFICATION.length + 1);
    const specification = this.#specification!;
    if (inner === 'MeasurementSpec/WavelengthRange') {
      specification.range = { start: attribute('StartWL')?.trim(), increment: attribute('Increment')?.trim(), place };
    } else if (
      inner === 'MeasurementSpec/GeometryChoice/SingleAngle' ||
      inner === 'MeasurementSpec/GeometryChoice/MultiAngle/BRDFAngle'
    ) {
      specification.angles.push({ place });
    }
  }

  #close(): void {
    const path = this.#paths.pop() ?? '';
    this.#ended++;
    const content = this.#content.trim();
    if (this.#object) this.#closeInObject(path, content);
    else if (this.#specification) this.#closeInSpecification(path, content);
    this.#content = '';
  }

  #closeInObject(path: string, content: string): void {
    const object = this.#object!;
    if (path === OBJECT) this.#object = undefined;
    else if (path === `${OBJECT}/CreationDate`) object.created = { text: content, place: this.#opened };
    else if (!path.startsWith(`${OBJECT}/ColorValues/`) || !this.#value) return;
    else {
      const [kind, figure, deeper] = path.slice(OBJECT.length + '/ColorValues/'.length).split('/');
      if (KINDS.get(kind!) !== this.#value.kind || deeper !== undefined) return;
      if (figure !== undefined) this.#figure(this.#value, figure, content);
      else {
        // Untrimmed, so that the place of each number can be counted.
        this.#value.text = this.#content;
        this.#value.textPlace = this.#opened;
        this.#value = undefined;
      }
    }
  }

  #figure(value: CxfValue, figure: string, content: string): void {
    if (value.figures.has(figure))
      this.findings.error(this.#opened, `${quote(figure)} comes twice in one value; keep one.`);
    value.figures.set(figure, { text: content, place: this.#opened });
  }

  #closeInSpecification(path: string, content: string): void {
    const specification = this.#specification!;
    if (path === SPECIFICATION) {
      this.#specification = undefined;
      return;
    }
    const said = { text: content, place: this.#opened };
    const angle = specification.angles.at(-1);
    switch (path.slice(SPECIFICATION.length + 1)) {
      case 'TristimulusSpec/Illuminant':
        specification.illuminant = said;
        break;
      case 'TristimulusSpec/Observer':
        specification.observer = said;
        break;
      case 'TristimulusSpec/Method':
        specification.method = said;
        break;
      case 'MeasurementSpec/MeasurementType':
        specification.type = said;
        break;
      case 'MeasurementSpec/Device/Model':
        specification.instrument = content;
        break;
      case 'MeasurementSpec/GeometryChoice/SphereGeometry':
        specification.sphere = said;
        break;
      case 'MeasurementSpec/GeometryChoice/UnknownGeometry':
      case 'MeasurementSpec/GeometryChoice/EmissiveMode':
        specification.otherGeometry = said;
        break;
      case 'MeasurementSpec/GeometryChoice/SingleAngle/IlluminationAngle':
      case 'MeasurementSpec/GeometryChoice/MultiAngle/BRDFAngle/IlluminationAngle':
        if (angle) angle.illumination = said;
        break;
      case 'MeasurementSpec/GeometryChoice/SingleAngle/MeasurementAngle':
        if (angle) angle.viewing = said;
        break;
      case 'MeasurementSpec/GeometryChoice/MultiAngle/BRDFAngle/Aspecular':
        if (angle) angle.aspecular = said;
        break;
      case 'MeasurementSpec/GeometryChoice/MultiAngle/BRDFAngle/Azimuth':
        if (angle) angle.azimuth = said;
        break;
    }
  }
}

const OBJECT = 'Resources/ObjectCollection/Object';
const SPECIFICATION = 'Resources/ColorSpecificationCollection/ColorSpecification';

const KINDS: ReadonlyMap<string, CxfValue['kind']> = new Map([
  ['ReflectanceSpectrum', 'spectrum'],
  ['ColorCIELab', 'lab'],
  ['ColorCIELCh', 'lch'],
  ['ColorCIEXYZ', 'xyz'],
]);
