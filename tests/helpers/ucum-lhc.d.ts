/** The part of the reference library of UCUM that is used; it brings no types of its own. */
declare module '@lhncbc/ucum-lhc' {
  export const UcumLhcUtils: {
    getInstance(): {
      convertUnitTo(
        from: string,
        value: number,
        to: string,
      ): { readonly status: string; readonly toVal: number | null }
      validateUnitString(unit: string): { readonly status: 'valid' | 'invalid' | 'error' }
    }
  }
}
