/** The part of the library `jstat` that is used; the package carries no declarations. */
declare module 'jstat' {
  const jstat: {
    readonly jStat: {
      readonly studentt: {
        /** Quantile of Student's t. */
        inv(probability: number, degreesOfFreedom: number): number;
      };
    };
  };
  export default jstat;
}
