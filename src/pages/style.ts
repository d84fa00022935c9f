/** One sheet for all pages: system fonts, dark text on white, no picture, no motion. */
export const STYLE = `:root { color-scheme: light; --ink: #1a1a1a; --quiet: #4d4d4d; --line: #8a8a8a; --link: #0b3d91; --pale: #f1f4f9 }
* { box-sizing: border-box }
body { font: 1rem/1.5 system-ui, sans-serif; margin: 0; color: var(--ink); background: #fff; overflow-wrap: break-word }
header, main, footer { max-width: 72rem; margin: 0 auto; padding: 0.75rem 1rem }
header { display: flex; flex-wrap: wrap; gap: 0.5rem 1.5rem; align-items: center; border-bottom: 2px solid var(--ink) }
.mark { font-weight: 700; margin: 0 }
nav ul { display: flex; gap: 1rem; list-style: none; margin: 0; padding: 0 }
nav a { display: inline-block; padding: 0.4rem 0.2rem }
nav a[aria-current] { font-weight: 700; color: var(--ink); text-decoration-thickness: 3px }
.who { margin-left: auto }
a { color: var(--link) }
h1 { font-size: 1.6rem; margin: 0.5rem 0 } h2 { font-size: 1.25rem; margin-top: 2rem } h3 { font-size: 1.05rem; margin-bottom: 0.2rem }
:focus-visible { outline: 3px solid var(--link); outline-offset: 2px }
.skip { position: absolute; left: -999rem } .skip:focus { position: static; display: inline-block; padding: 0.5rem 1rem }
button, input, select { font: inherit; min-height: 2.5rem; padding: 0.25rem 0.6rem; border: 1px solid var(--ink); border-radius: 0.2rem; background: #fff; color: var(--ink) }
select { max-width: 100% }
input[type=checkbox] { min-height: 1.5rem; min-width: 1.5rem; vertical-align: middle }
button { background: var(--link); color: #fff; border-color: var(--link); cursor: pointer }
.sign-in label { display: block } .sign-in input { width: min(100%, 24rem) }
.filter { display: flex; flex-wrap: wrap; gap: 0.5rem 1.25rem; align-items: end; padding: 0.75rem; background: var(--pale) } .filter p { margin: 0; display: flex; align-items: center; min-height: 2.5rem; max-width: 100% } .filter select { min-width: 0 } .filter label { margin-right: 0.3rem }
.alert { border-left: 6px solid #a30000; padding: 0.5rem 1rem; background: #fdf0f0 }
table { border-collapse: collapse; width: 100%; margin: 1rem 0 }
caption { text-align: left; font-weight: 700; padding: 0.3rem 0 }
th, td { text-align: left; vertical-align: top; padding: 0.45rem 0.6rem 0.45rem 0; border-bottom: 1px solid var(--line) }
time { white-space: nowrap }
tbody th { font-weight: 400; min-width: 8rem; overflow-wrap: anywhere } thead th { border-bottom: 2px solid var(--ink) }
small { color: var(--quiet); display: block; font-weight: 400 }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(16rem, 1fr)); gap: 0.3rem 1.5rem; margin: 0.5rem 0 } .facts div { border-bottom: 1px solid var(--line); padding: 0.2rem 0 } dt { color: var(--quiet) } dt::first-letter { text-transform: uppercase } dd { margin: 0 }
.pictures { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(22.5rem, 100%), 1fr)); gap: 1rem } figure { margin: 0 } figure svg { width: 100%; max-width: 30rem; height: auto }
details { border-bottom: 1px solid var(--line) } summary { padding: 0.45rem 0; cursor: pointer } summary h3 { display: inline; margin: 0 } details > ul { margin: 0.3rem 0; padding-left: 1.4rem } td details { border: 0 } td summary { color: var(--link) }
img { max-width: 100%; height: auto }
footer { color: var(--quiet); border-top: 1px solid var(--line); margin-top: 2rem }
@media (max-width: 40rem) {
  body { overflow-wrap: anywhere }
  thead { position: absolute; left: -999rem } tr { display: block; padding: 0.5rem 0; border-bottom: 2px solid var(--line) } tbody th { font-weight: 700 } tbody th, td { display: block; border: 0; padding: 0.1rem 0 } td[data-label]::before { content: attr(data-label) ': '; color: var(--quiet) }
  .who { margin-left: 0 }
}
@media print { header nav, .who, .filter, .skip { display: none } a { color: inherit } }
`

/** The mark in the tab of a browser: two soles. */
export const MARK =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><title>Footing</title><rect x="2" y="2" width="5" height="12" rx="2.5" fill="#0b3d91"/><rect x="9" y="2" width="5" height="12" rx="2.5" fill="#0b3d91"/></svg>'
