/**
 * The table of words. Every line of a book begins with a word of this table; the row says in which entries the word may stand and
 * what each place after it holds. Parser rules, completion, signature help, hover, highlighting, the language reference and the
 * nearest-word suggestions are all built from it: a new word is a new row.
 */
import { type Place, placesOf } from './place.ts';

export type EntryKind =
  | 'book'
  | 'system'
  | 'scale'
  | 'instrument'
  | 'toner'
  | 'letdown'
  | 'undercoat'
  | 'reading'
  | 'formula'
  | 'variant'
  | 'sprayout'
  | 'drawdown'
  | 'batch';

/** once: a second line is an error; keyed: once for each key (`key` names the places); free: as often as wanted. */
export type Repeat = 'once' | 'keyed' | 'free';

export interface Row {
  readonly word: string;
  /** Entries in which the word stands; a head row starts the entry of its one kind. */
  readonly in: readonly EntryKind[];
  readonly head: boolean;
  readonly places: readonly Place[];
  readonly repeat: Repeat;
  readonly key: readonly string[];
  /** Does a variant take the line over from its parent when it has none of its own? */
  readonly inherit: boolean;
  /** What the word is for, in one or two sentences, for hover and the reference. */
  readonly help: string;
  readonly example: string;
}

interface RowOptions {
  repeat?: Repeat;
  key?: string[];
  inherit?: boolean;
}

const head = (kind: EntryKind, notation: string, help: string, example: string): Row => ({
  word: kind,
  in: [kind],
  head: true,
  places: placesOf(notation),
  repeat: 'free',
  key: [],
  inherit: false,
  help,
  example,
});

const row = (
  word: string,
  kinds: string,
  notation: string,
  help: string,
  example: string,
  options: RowOptions = {},
): Row => ({
  word,
  in: kinds.split(' ') as EntryKind[],
  head: false,
  places: placesOf(notation),
  repeat: options.repeat ?? 'once',
  key: options.key ?? [],
  inherit: options.inherit ?? false,
  help,
  example,
});

const keyed = (...key: string[]): RowOptions => ({ repeat: 'keyed', key });
const free: RowOptions = { repeat: 'free' };
const inherited: RowOptions = { inherit: true };

const MEASURED = 'reading sprayout drawdown';
const CARD = 'sprayout drawdown';
const RECIPE = 'formula variant';

export const rows: readonly Row[] = [
  // What the shop is
  head(
    'book',
    '{name:text}',
    'The shop and what holds for its whole book. One to a book.',
    'book "Saltmarsh Coachworks"',
  ),
  row('language', 'book', '{version:count}', 'The version of this language that the book is written in.', 'language 1'),
  row(
    'timezone',
    'book',
    '{zone:name}',
    'Where times without a zone of their own are meant.',
    'timezone Europe/Dublin',
  ),
  row(
    'scale',
    'book',
    '{readability:quantity mass} [capacity {capacity:quantity mass}]',
    'The readability of the bench scale: grams are shown in its steps. Its capacity is the most that it carries, cup included.',
    'scale 0.1 g capacity 3 kg',
  ),
  row(
    'illuminants',
    'book',
    '{viewing:viewing}+',
    'Illuminant and observer. The first is the main one; the others test metamerism.',
    'illuminants D65/10 A/10 F11/10',
  ),
  row(
    'tolerance',
    'book',
    '[{purpose:choice edge blend hidden}] [{geometry:geometry}] {limit:quantity colour-difference}',
    'How far a colour may be off: edge to edge (when nothing is said), blended, or in a hidden area; for every angle or for one.',
    'tolerance 1.0 dE00',
    keyed('purpose', 'geometry'),
  ),
  row(
    'saunderson',
    'book',
    'k1 {k1:number} k2 {k2:number} specular {specular:choice excluded included}',
    'The surface correction: reflection at the outer (k1) and inner (k2) side of the film, and whether the instrument sees the gloss.',
    'saunderson k1 0.04 k2 0.60 specular excluded',
  ),
  row(
    'concentration',
    'book',
    '{basis:choice parts solids}',
    'What the optics count a toner by: liquid parts as weighed, or its dry solids.',
    'concentration parts',
  ),
  row(
    'voc',
    'book',
    '{regime:name} {category:name} [undercoat {undercoat:name}]',
    'The regulation and its category that the colour is held against, and the category of the undercoat, where it is not the usual one.',
    'voc eu-2004-42 topcoat',
  ),
  row(
    'limit',
    'book',
    '{regime:name} {category:name} {limit:quantity density} {figure:choice actual less-water less-water-and-exempt} on {when:date}',
    'A VOC limit of a state, district or customer, which of the three VOC figures it is for, and the day it was looked up.',
    'limit harbour topcoat 340 g/l less-water on 2026-11-20',
    keyed('regime', 'category'),
  ),
  row(
    'clear',
    'book',
    '{voc:quantity density}',
    'VOC of the clear coat as it is sprayed, for regulations that count a topcoat of several stages as one.',
    'clear 418 g/l',
  ),
  row(
    'transfer',
    'book',
    '{efficiency:quantity share} [loss {loss:quantity volume}]',
    'The share of the sprayed solids that stays on the part, and what is left in gun, cup and strainer whatever is sprayed.',
    'transfer 60 % loss 30 ml',
  ),
  row(
    'recalibrate',
    'book',
    'every {interval:quantity time}',
    'How long a calibration of an instrument counts.',
    'recalibrate every 3 days',
  ),
  row(
    'takes',
    'book',
    '{takes:count} [within {spread:quantity colour-difference}]',
    'How many takes a reading should have, and how far they may lie apart.',
    'takes 3 within 0.5 dE00',
  ),
  row(
    'weighing',
    'book',
    'within {error:quantity share}',
    'The error of a pour that the shop accepts; it decides which pours are too small for the scale.',
    'weighing within 5 %',
  ),

  head(
    'system',
    '{id:new system} {name:text}',
    'A paint system: toners of two systems do not mix.',
    'system WB "Waterborne base coat"',
  ),
  row(
    'hardener',
    'system',
    '{toner:ref toner} ({share:quantity share} [of {of:choice paint mix whole}] | parts {parts:number} to {paint:number} [of paint]) [by {by:choice volume weight}]',
    'What makes the paint harden, as a share of the paint or in parts to parts of paint, by volume or by weight.',
    'hardener HRD-1 parts 1 to 2 of paint by volume',
    keyed('toner'),
  ),
  row(
    'reducer',
    'system',
    '{toner:ref toner} ({share:quantity share} [of {of:choice paint mix whole}] | parts {parts:number} to {paint:number} [of paint]) [by {by:choice volume weight}] [from {low:quantity temperature} to {high:quantity temperature}] [humidity {dry:quantity humidity} to {damp:quantity humidity}]',
    'What thins the paint to spray it: of the paint, of the mix before it, or of the whole. Several for other temperatures of the booth are choices.',
    'reducer RDC-20 10 % of mix by volume',
    keyed('toner'),
  ),
  row(
    'viscosity',
    'system',
    '{seconds:quantity time} [cup {cup:name} {hole:quantity length}]',
    'How long the ready paint runs from a flow cup, which must be named: ISO 2431 and its hole.',
    'viscosity 40 s cup ISO-2431 4 mm',
  ),
  row(
    'potlife',
    'system',
    '{time:quantity time} [at {temperature:quantity temperature}]',
    'How long the paint can be sprayed once the hardener is in.',
    'potlife 3 h at 23 C',
  ),
  row('keeps', 'system', '{time:quantity time}', 'How long mixed paint without hardener may be kept.', 'keeps 30 days'),
  row(
    'film',
    'system undercoat',
    '{thickness:quantity length} [in {coats:count} coats]',
    'The dry film that a colour of the system, or an undercoat, is sprayed to, all coats together.',
    'film 18 um in 3 coats',
  ),
  head('scale', '{id:new scale} {name:text}', 'A scale of the shop beside the bench scale.', 'scale FINE "Fine scale"'),
  row(
    'readability',
    'scale batch',
    '{step:quantity mass}',
    'The step in which the scale shows weight; a closed batch keeps that of the scale that was used.',
    'readability 0.01 g',
  ),
  row('capacity', 'scale', '{most:quantity mass}', 'The most that the scale may carry, cup included.', 'capacity 2 kg'),
  row(
    'tested',
    'scale',
    '{when:date} {weight:quantity mass} reads {shown:quantity mass}',
    'A test weight that was put on, and what the scale showed.',
    'tested 2026-10-01 500 g reads 500.1 g',
    free,
  ),

  head(
    'instrument',
    '{id:new instrument} {name:text}',
    'An instrument that takes readings.',
    'instrument BENCH-2 "five-angle"',
  ),
  row(
    'geometry',
    'instrument',
    '{geometry:geometry}+',
    'The angles that the instrument reads.',
    'geometry 45as15 45as25 45as45 45as75 45as110',
  ),
  row(
    'calibrated',
    'instrument',
    '{when:date} [at {temperature:quantity temperature}]',
    'When the instrument was calibrated. Every calibration keeps its line.',
    'calibrated 2026-10-13T08:00',
    free,
  ),
  row(
    'tile',
    'instrument',
    '{when:date} {L:signed} {a:signed} {b:signed}',
    'What the white tile read, to see the instrument drift.',
    'tile 2026-10-13T08:00 96.12 -0.41 1.02',
    free,
  ),

  // Materials
  head(
    'toner',
    '{id:new toner} {name:text}',
    'A toner on the shelf. Its K and S are learned from the cards of the book.',
    'toner BLK-1 "Carbon black"',
  ),
  head(
    'letdown',
    '{id:new toner} {name:text} of {toner:ref toner}',
    'A toner thinned with binder, made up beforehand so that small amounts can be weighed.',
    'letdown BLK-1-10 "Carbon black, ten per cent" of BLK-1',
  ),
  row(
    'system',
    'toner letdown undercoat formula variant',
    '{system:ref system}',
    'The paint system this belongs to.',
    'system WB',
    inherited,
  ),
  row(
    'kind',
    'toner',
    '{kind:choice opaque transparent white black flake pearl binder additive flop-control hardener reducer}',
    'What the toner does in the film.',
    'kind opaque',
  ),
  row(
    'density',
    'toner undercoat',
    '{density:quantity density}',
    'Mass by volume, for volumes, VOC and cost.',
    'density 1.04 g/ml',
  ),
  row(
    'solids',
    'toner undercoat',
    '{solids:quantity share} {by:choice weight volume}',
    'What stays in the film when it has dried.',
    'solids 31.0 % weight',
  ),
  row(
    'water',
    'toner undercoat',
    '{water:quantity share} weight',
    'The share of water, which is left out of the VOC.',
    'water 52 % weight',
  ),
  row(
    'exempt',
    'toner undercoat',
    '{exempt:quantity share} weight [density {density:quantity density}]',
    'The share of solvents that the regulation exempts.',
    'exempt 10 % weight',
  ),
  row(
    'price',
    'toner undercoat',
    '{price:quantity price-per-volume price-per-mass}',
    'What it costs to buy.',
    'price 38.50 EUR/l',
  ),
  row(
    'voc',
    'toner undercoat',
    '{voc:quantity density}',
    'VOC by the data sheet, where solids and water are not known.',
    'voc 870 g/l',
  ),
  row(
    'lot',
    'toner',
    '{lot:name} [strength {strength:quantity share}] [opened {opened:date}] [stock {stock:quantity mass volume}]',
    'A lot on the shelf, its strength against the standard lot, and what is left of it.',
    'lot B-4471 strength 97 % opened 2026-09-01',
    keyed('lot'),
  ),
  row(
    'absorption',
    'toner',
    '{grid:range} {values:numbers}',
    'K of the toner by wavelength, where it is stated and not learned. Together with its S it is used for solid colours.',
    'absorption 400..700/20 0.41 0.41 0.40 0.40 0.40 0.40 0.39 0.39 0.39 0.38 0.38 0.38 0.38 0.37 0.37 0.37',
  ),
  row(
    'scattering',
    'toner',
    '{grid:range} {values:numbers}',
    'S of the toner by wavelength, where it is stated and not learned, relative to a white of S 1.',
    'scattering 400..700/20 0.03 0.03 0.03 0.03 0.03 0.03 0.03 0.03 0.02 0.02 0.02 0.02 0.02 0.02 0.02 0.02',
  ),

  head(
    'undercoat',
    '{id:new undercoat} {name:text}',
    'A primer or sealer that is mixed to a grey. Its measured steps are listed; the greys between are computed.',
    'undercoat SEAL "Waterborne sealer"',
  ),
  row(
    'grey',
    'undercoat',
    '{grey:grey} (toner {toner:ref toner} {parts:number})+',
    'A measured step of the undercoat and what it is mixed from.',
    'grey N5 toner SEAL-W 71.5 toner SEAL-K 28.5',
    keyed('grey'),
  ),
  row('coats', 'undercoat', '{coats:range}', 'How many coats of it are sprayed.', 'coats 1..2'),
  row(
    'recoat',
    'undercoat',
    'after {from:quantity time} [within {to:quantity time}]',
    'When the colour may go on it.',
    'recoat after 15 min within 24 h',
  ),

  // What was read
  head(
    'reading',
    '{id:new reading} {name:text}',
    'What an instrument read of a vehicle, a panel or a master.',
    'reading SAM-door "Samphire van, left door"',
  ),
  row(
    'taken',
    'reading',
    '{when:date} [with {instrument:ref instrument}]',
    'When the reading was taken, and with which instrument.',
    'taken 2026-10-14T09:20 with BENCH-2',
  ),
  row(
    'measured',
    CARD,
    '{when:date} [with {instrument:ref instrument}]',
    'When the card was read, and with which instrument.',
    'measured 2026-10-03T10:00 with BENCH-2',
  ),
  row(
    'surface',
    MEASURED,
    '{clear:choice cleared uncleared} [{polish:choice polished unpolished}] [{temperature:quantity temperature}]',
    'Under clear coat or not, polished or not, and how warm the panel was. Unlike surfaces do not compare.',
    'surface cleared polished 21 C',
  ),
  row(
    'bandpass',
    MEASURED,
    '{bandpass:choice corrected uncorrected}',
    'Whether the spectra are already corrected for the bandpass of the instrument (the default).',
    'bandpass corrected',
  ),
  row(
    'lab',
    MEASURED,
    '{geometry:geometry} [{viewing:viewing}] [take {take:count}] {L:signed} {a:signed} {b:signed}',
    'CIELAB at one angle, under the main illuminant unless another is said.',
    'lab 45as15 take 1 61.92 -18.40 9.81',
    keyed('geometry', 'viewing', 'take'),
  ),
  row(
    'spectrum',
    MEASURED,
    '{geometry:geometry} [take {take:count}] {grid:range} {values:numbers}',
    'Reflectance factors (1 is the perfect diffuser) at one angle. The list may go on over lines that begin with a number.',
    'spectrum 45as45 400..700/100 0.0311 0.0325 0.0341 0.0366',
    keyed('geometry', 'take'),
  ),
  row(
    'sparkle',
    MEASURED,
    '{geometry:geometry} [take {take:count}] {value:number}',
    'The flake sparkle as the instrument gives it; compared only within one model of instrument.',
    'sparkle 45as15 4.2',
    keyed('geometry', 'take'),
  ),
  row(
    'graininess',
    MEASURED,
    '[take {take:count}] {value:number}',
    'The flake graininess as the instrument gives it; compared only within one model of instrument.',
    'graininess 3.1',
    keyed('take'),
  ),
  row(
    'file',
    MEASURED,
    '{file:text} [sample {sample:text}]',
    'The values lie in an open-format file (CGATS.17, CxF3, CSV) beside the book.',
    'file "sam-door.cgats"',
  ),

  // What should be done
  head(
    'formula',
    '{id:new formula} {name:text}',
    'What should be poured for a colour.',
    'formula SAM-31 "Samphire Green"',
  ),
  head(
    'variant',
    '{id:new variant} {name:text}',
    'A formula told as plus and minus against its parent, whose path is the part of the id before the last stroke.',
    'variant SAM-31/dark "Darker on the flop"',
  ),
  row('maker', RECIPE, '{maker:name}', 'Who made the vehicle.', 'maker Marram', inherited),
  row('code', RECIPE, '{code:name}', 'The colour code of the maker.', 'code samphire-a', inherited),
  row('years', RECIPE, '{years:range}', 'The years in which the colour was used.', 'years 2019..2023', inherited),
  row(
    'finish',
    RECIPE,
    '{finish:choice solid metallic pearl}',
    'How the colour is built.',
    'finish metallic',
    inherited,
  ),
  row(
    'status',
    RECIPE,
    '{status:choice approved trial withdrawn} [by {who:name}] [on {when:date}]',
    'Approved for use, on trial, or withdrawn; who said so and when.',
    'status approved by RO on 2026-10-20',
  ),
  row(
    'undercoat',
    RECIPE,
    '({undercoat:ref undercoat} grey {grey:grey} | formula {formula:ref formula})',
    'What the colour goes on: the undercoat and its grey, by Munsell neutral value or by L*; or a coloured undercoat, by its formula.',
    'undercoat SEAL grey N5',
    inherited,
  ),
  row(
    'target',
    RECIPE,
    '(weight {weight:quantity mass} | volume {volume:quantity volume} | area {area:quantity area}) [as (poured | ready to spray)]',
    'How much is usually mixed: the paint as poured, or ready to spray.',
    'target weight 250 g as poured',
    inherited,
  ),
  row(
    'standard',
    RECIPE,
    '{standard:ref reading}',
    'The reading that the colour has to look like.',
    'standard SAM-door',
    inherited,
  ),
  row(
    'coat',
    RECIPE,
    '{coat:choice ground mid top} [coats {coats:count}]',
    'The toner lines below belong to this coat, until the next coat line.',
    'coat mid coats 2',
    keyed('coat'),
  ),
  row(
    'toner',
    'formula letdown batch',
    '{toner:ref toner} {parts:number}',
    'So many parts of a toner, by weight. The order is the order of pouring. In a batch: the recipe as it was when the batch was closed.',
    'toner GRN-2 41.20',
    keyed('toner'),
  ),
  row(
    'toner',
    CARD,
    '{toner:ref toner} {parts:number} [lot {lot:name}]',
    'So many parts of a toner on the card, by weight. Where the lot is named, the toner counts with the strength of that lot.',
    'toner GRN-2 41.20 lot B-4471',
    keyed('toner'),
  ),
  row(
    'toner',
    'variant',
    '{toner:ref toner} ({delta:delta} [{percent:choice %}] | = {parts:number})',
    'More (+) or less (-) parts than the parent has, a change relative to its share (+5 %), or other parts altogether (= 1.65).',
    'toner BLK-1 +0.40',
    keyed('toner'),
  ),
  row('without', 'variant', '{toner:ref toner}', 'The parent’s toner is left out.', 'without BLK-1', keyed('toner')),
  row(
    'without',
    MEASURED,
    'take {take:count} [at {geometry:geometry}] {reason:text}',
    'A take that does not count, and why.',
    'without take 2 "finger on the panel"',
    free,
  ),
  row(
    'expect',
    RECIPE,
    '(sprayout | predicted | coats | grey | voc | cost | total | share {toner:ref toner} | pour {toner:ref toner}) [(at {geometry:geometry} | worst | mean)] [under {viewing:viewing}] {operator:operator} ({grey:grey} | {limit:measure})',
    'A stated fact that is checked like a test.',
    'expect sprayout worst <= 1.0 dE00',
    free,
  ),
  row(
    'note',
    'book system scale instrument toner letdown undercoat reading formula variant sprayout drawdown batch',
    '{text:text}',
    'Something to know; shown with the entry.',
    'note "Stir ALU-C by hand before it is weighed."',
    free,
  ),

  // What was done
  head(
    'sprayout',
    '{id:new sprayout} of {formula:ref formula}',
    'A card that was sprayed with a formula. It keeps the parts that were really used.',
    'sprayout SAM-31-card of SAM-31',
  ),
  row(
    'sprayed',
    'sprayout',
    '{when:date} [by {who:name}]',
    'When and by whom the card was sprayed.',
    'sprayed 2026-10-02 by RO',
  ),
  head(
    'drawdown',
    '{id:new drawdown} {name:text}',
    'A card of a mixture that is no formula: a step of a ladder, by which the book learns its toners.',
    'drawdown BLK-1-tint "Carbon black in white"',
  ),
  row(
    'drawn',
    'drawdown',
    '{when:date} [by {who:name}]',
    'When and by whom the card was drawn.',
    'drawn 2026-09-02 by RO',
  ),
  row(
    'over',
    CARD,
    '({undercoat:ref undercoat} grey {grey:grey} | formula {formula:ref formula} | {chart:choice black white})',
    'What lies under the film of the card: an undercoat grey, a coloured undercoat by its formula, or a printed chart.',
    'over SEAL grey N5',
  ),
  row(
    'film',
    CARD,
    '{thickness:quantity length} [in {coats:count} coats]',
    'The dry film of the card.',
    'film 18 um in 3 coats',
  ),
  row(
    'from',
    CARD,
    'batch {batch:ref batch}',
    'The card was sprayed from this batch, whose pours are its parts.',
    'from batch 2026-10-02-A',
  ),
  row(
    'coat',
    CARD,
    '{coat:choice ground mid top} [coats {coats:count}]',
    'The toner lines below belong to this coat, until the next coat line.',
    'coat mid coats 2',
    keyed('coat'),
  ),

  head(
    'batch',
    '{id:new batch} of {formula:ref formula}',
    'A cup that is or was mixed, pour by pour.',
    'batch 2026-10-14-A of SAM-31/dark',
  ),
  row('make', 'batch', '{weight:quantity mass volume}', 'How much is wanted.', 'make 80 g'),
  row(
    'poured',
    'batch',
    '{toner:ref toner} ({grams:quantity mass} | scale {running:quantity mass})',
    'One pour, or the running figure that the scale showed after it.',
    'poured GRN-2 33.2 g',
    free,
  ),
  row(
    'from',
    'batch',
    'leftover {batch:ref batch} {grams:quantity mass}',
    'Paint left from another batch that went into the cup first.',
    'from leftover 2026-10-02-A 35 g',
  ),
  row('coat', 'batch', '{coat:choice ground mid top}', 'Which coat of the formula this cup is for.', 'coat ground'),
  row('cup', 'batch', '{cup:quantity volume}', 'How much the cup holds.', 'cup 500 ml'),
  row(
    'booth',
    'batch',
    '{temperature:quantity temperature} [{humidity:quantity humidity}]',
    'Temperature and humidity of the booth on that day; warmth shortens the pot life.',
    'booth 27 C 45 %RH',
  ),
  row(
    'stirred',
    'batch',
    '{toner:ref toner} {stirred:choice yes no}',
    'Whether the toner was stirred before it was weighed.',
    'stirred ALU-C yes',
    keyed('toner'),
  ),
  row(
    'lot',
    'batch',
    '{toner:ref toner} {lot:name}',
    'The lot that the toner was poured from.',
    'lot ALU-C B-5120',
    keyed('toner'),
  ),
  row(
    'removed',
    'batch',
    '{grams:quantity mass}',
    'So much of the stirred cup was taken out again.',
    'removed 1.9 g',
    free,
  ),
  row(
    'accepted',
    'batch',
    '{toner:ref toner} {reason:text}',
    'Too much of this toner is in the cup, and it stays so.',
    'accepted ALU-C "0.7 g over, not to be seen"',
    keyed('toner'),
  ),
  row(
    'weighed',
    'batch',
    '{grams:quantity mass} [at {when:date}]',
    'What the cup holds by the scale, without the cup itself.',
    'weighed 118.2 g',
    free,
  ),
  row(
    'tinted',
    'batch',
    '{toner:ref toner} {grams:quantity mass} [accepted]',
    'A little added by eye; accepted when it made the colour better.',
    'tinted BLK-1 0.3 g accepted',
    free,
  ),
  row(
    'mixed',
    'batch',
    '{when:date} [by {who:name}]',
    'When and by whom the cup was mixed.',
    'mixed 2026-10-14T10:05 by RO',
  ),
  row('scale', 'batch', '{scale:ref scale}', 'The scale that was used, when it was not the bench scale.', 'scale FINE'),
  row(
    'closed',
    'batch',
    '{when:date} [by {who:name}]',
    'The batch is done; its lines are a record from here on.',
    'closed 2026-10-14T10:20 by RO',
  ),
];

export const headRows: ReadonlyMap<string, Row> = new Map(rows.filter((one) => one.head).map((one) => [one.word, one]));

const bodyRows = new Map<EntryKind, Map<string, Row>>();
for (const kind of headRows.keys() as Iterable<EntryKind>) {
  const own = rows.filter((one) => !one.head && one.in.includes(kind));
  bodyRows.set(kind, new Map(own.map((one) => [one.word, one])));
}

/** The rows that may stand indented in an entry of this kind, by their word. */
export const rowsIn = (kind: EntryKind): ReadonlyMap<string, Row> => bodyRows.get(kind)!;

export const bodyWords: ReadonlySet<string> = new Set(rows.filter((one) => !one.head).map((one) => one.word));

/** Where an id of this kind lives: variants are formulas to whoever names them, let-downs are toners. */
export type Namespace =
  | 'system'
  | 'scale'
  | 'instrument'
  | 'toner'
  | 'undercoat'
  | 'reading'
  | 'formula'
  | 'sprayout'
  | 'drawdown'
  | 'batch';

const NAMESPACES: Record<EntryKind, Namespace | undefined> = {
  book: undefined,
  system: 'system',
  scale: 'scale',
  instrument: 'instrument',
  toner: 'toner',
  letdown: 'toner',
  undercoat: 'undercoat',
  reading: 'reading',
  formula: 'formula',
  variant: 'formula',
  sprayout: 'sprayout',
  drawdown: 'drawdown',
  batch: 'batch',
};

export const namespaceOf = (kind: EntryKind): Namespace | undefined => NAMESPACES[kind];
