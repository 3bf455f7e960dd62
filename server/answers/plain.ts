export { plainDecimal as plain } from '../exact/plain.ts';
