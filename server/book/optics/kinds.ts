/** Kinds of toner as the book writes them and as the models of optics count them. */
import type { EffectKind } from '../../paint/effect-unknowns.ts';
import type { TonerKind } from '../../paint/mixture.ts';

/** The kind as the solid model counts it; a toner that says no kind is taken for an opaque colour. */
export function solidKind(kind: string | undefined): TonerKind {
  switch (kind) {
    case 'white':
    case 'black':
    case 'transparent':
      return kind;
    case 'binder':
    case 'additive':
    case 'hardener':
    case 'flop-control':
      return 'binder';
    default:
      return 'opaque';
  }
}

/** The kind as the effect model counts it. */
export function effectKind(kind: string | undefined): EffectKind {
  switch (kind) {
    case 'flake':
    case 'pearl':
      return kind;
    case 'black':
    case 'transparent':
      return 'absorbing';
    case 'binder':
    case 'additive':
    case 'hardener':
      return 'clear';
    default:
      return 'scattering';
  }
}
