declare module 'jstat' {
  interface Normal {
    cdf(x: number, mean: number, sd: number): number
    inv(share: number, mean: number, sd: number): number
  }
  const library: { readonly jStat: { readonly normal: Normal } }
  export default library
}
