/** The ways in which exports write geometry, illuminant, observer and date, brought to the book's way. */
import type { Observer } from '../colour/observers.ts';

/**
 * `45as15` for angles from the mirror direction, `45/0` and `d/8` otherwise; nothing where the text means none of these.
 * `45:-30` is read as 45as15: the viewing angle from the normal, plus the angle of incidence, is the aspecular angle
 * (ASTM E2194 and E2539 give both notations). `45:0` stays the CIE 45/0.
 */
export function geometryOf(text: string): string | undefined {
  const plain = text
    .toLowerCase()
    .replace(/[\s\u00B0"]/g, '')
    .replace(/\u2212/g, '-');
  const aspecular = /^(\d{1,2}):?as(-?\d{1,3})$/.exec(plain);
  if (aspecular) return aspecularGeometry(Number(aspecular[1]), Number(aspecular[2]));
  const sphere = /^d[ie]?[:/](\d{1,2})(?::?(?:sci|sce|i|e))?$/.exec(plain);
  if (sphere) return `d/${Number(sphere[1])}`;
  const reversed = /^(\d{1,2})[:/]d[ie]?$/.exec(plain);
  if (reversed) return `${Number(reversed[1])}/d`;
  const pair = /^(\d{1,2})[acx]?(?:[:/])(-?\d{1,2})[acx]?$/.exec(plain);
  return pair ? anglesGeometry(Number(pair[1]), Number(pair[2])) : undefined;
}

/** Angles from the normal, degrees. Annular, circumferential and directional 45/0 are one geometry to the book. */
export function anglesGeometry(illumination: number, viewing: number): string | undefined {
  if (!whole(illumination) || !whole(viewing) || illumination < 0 || illumination > 90) return undefined;
  if (viewing === 0 || illumination === 0)
    return viewing >= 0 && viewing <= 90 ? `${illumination}/${viewing}` : undefined;
  return aspecularGeometry(illumination, illumination + viewing);
}

/** Aspecular angle: from the mirror direction, positive towards the normal. */
export function aspecularGeometry(illumination: number, aspecular: number): string | undefined {
  if (!whole(illumination) || !whole(aspecular) || illumination < 0 || illumination > 90) return undefined;
  return Math.abs(aspecular - illumination) <= 90 ? `${illumination}as${aspecular}` : undefined;
}

/** What a sphere geometry says of the specular part, where it says it. */
export function specularOf(text: string): 'included' | 'excluded' | undefined {
  const plain = text.toLowerCase().replace(/[\s_-]/g, '');
  if (/^di[:/]|sci$|:i$|included$|^\d+[:/]di$/.test(plain)) return 'included';
  return /^de[:/]|sce$|:e$|excluded$|^\d+[:/]de$/.test(plain) ? 'excluded' : undefined;
}

/** `D65`, `A`, `F11` (also written FL11), `LED-B3`; nothing for a name that is no CIE illuminant. */
export function illuminantOf(text: string): string | undefined {
  const plain = text
    .trim()
    .toUpperCase()
    .replace(/^CIE\s*/, '')
    .replace(/^ILLUMINANT\s*/, '');
  if (/^(A|B|C|E|D\d{2})$/.test(plain)) return plain;
  const lamp = /^FL?(\d{1,2})$/.exec(plain);
  if (lamp) return `F${Number(lamp[1])}`;
  const led = /^LED[-_ ]?(B[1-5]|BH1|RGB1|V[12])$/.exec(plain);
  return led ? `LED-${led[1]}` : undefined;
}

/** The standard observer by its field, 2 (CIE 1931) or 10 degrees (CIE 1964). */
export function observerOf(text: string): Observer | undefined {
  const plain = text
    .trim()
    .toLowerCase()
    .replace(/^cie\s*/, '');
  if (/^(0?2(\.0*)?[\s_-]*(\u00B0|deg(ree)?s?)?|1931)$/.test(plain)) return '2';
  return /^(10(\.0*)?[\s_-]*(\u00B0|deg(ree)?s?)?|1964)$/.test(plain) ? '10' : undefined;
}

const DATE = /^(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:\.\d+)?)?(Z|[+-]\d\d:\d\d)?)?$/;

/** An ISO 8601 date or time as the book writes it; nothing for `10/14/2026`, whose order of day and month is anybody's guess. */
export function dateOf(text: string): string | undefined {
  const parts = DATE.exec(text.trim());
  if (!parts) return undefined;
  const [, year, month, day, hour, minute, second, zone] = parts;
  const days = new Date(Date.UTC(Number(year), Number(month), 0)).getUTCDate();
  if (Number(month) < 1 || Number(month) > 12 || Number(day) < 1 || Number(day) > days) return undefined;
  const date = `${year}-${month}-${day}`;
  if (hour === undefined) return date;
  if (Number(hour) > 23 || Number(minute) > 59 || Number(second ?? 0) > 60) return undefined;
  return `${date}T${hour}:${minute}${second && second !== '00' ? `:${second}` : ''}${zone ?? ''}`;
}

const whole = (angle: number): boolean => Number.isInteger(angle);
