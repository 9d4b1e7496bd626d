/** The part of the package that the tests use; it comes without types. */
declare module "jstat" {
  type Two = { cdf: (x: number, a: number, b: number) => number; inv: (p: number, a: number, b: number) => number };
  type One = { cdf: (x: number, degrees: number) => number; inv: (p: number, degrees: number) => number };
  const jstat: { readonly beta: Two; readonly centralF: Two; readonly studentt: One };
  export default jstat;
}
