import { describe, expect, it } from 'vitest';
import { foundIn } from '../marked.ts';

const list = (value: string, count = 16) => `400..700/${300 / (count - 1)} ${Array(count).fill(value).join(' ')}`;
const toner = (lines: string, kind = 'opaque') =>
  `toner RED-1 "Red"\n  system WB\n  kind ${kind}\n${lines}\nformula F-1 "f"\n  toner RED-1 1\n`;
const BOTH = `  absorption ${list('0.3')}\n  scattering ${list('0.1')}`;
const effectCard = `
toner ALU "Flake"
  system WB
  kind flake
drawdown C-1 "Card"
  toner RED-1 10
  toner ALU 90
  spectrum 45as15 ${list('0.8')}
`;
const found = (text: string) =>
  foundIn(text)
    .filter(({ code }) => code === 'constants-unused')
    .map(({ severity, marked, problem }) => `${severity} ${marked}: ${problem}`);

describe('stated K and S', () => {
  it('are used for a solid colour without a word', () => {
    expect(found(toner(BOTH))).toEqual([]);
    expect(found(toner(''))).toEqual([]);
  });

  it('are not used one without the other, or of too few wavelengths', () => {
    expect(found(toner(`  absorption ${list('0.3')}`))).toEqual(['warning absorption: K without S is not used.']);
    expect(found(toner(`  scattering ${list('0.3')}`))).toEqual(['warning scattering: S without K is not used.']);
    expect(found(toner(`  absorption ${list('0.3', 4)}\n  scattering ${list('0.1', 4)}`))).toEqual([
      'warning absorption: K and S are not used unless both reach from 400 to 700 nm in steps of 20 nm or less.',
    ]);
  });

  it('do not describe what mirrors', () => {
    expect(found(toner(BOTH, 'pearl'))).toEqual([
      'warning absorption: K and S do not say how a pearl mirrors: they are not used.',
    ]);
  });

  it('are not used in effect colours, which is told where the system has cards of these', () => {
    expect(found(toner(BOTH) + effectCard)).toEqual([
      'info absorption: These K and S are used for solid colours only: in effect colours the toner is learned from cards.',
    ]);
    expect(found(toner(BOTH) + effectCard.replace('system WB', 'system SB').replace('toner RED-1 10\n', ''))).toEqual(
      [],
    );
  });

  it('half-typed are left to the line’s own finding', () => {
    expect(found(toner('  absorption 400..700/20'))).toEqual([]);
  });
});
