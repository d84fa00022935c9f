import { html } from 'ghtml'
import { type Frame, pageOf } from './layout.ts'

/** @param refused was the last attempt in vain? */
export const signInPage = (frame: Pick<Frame, 'madeAt'>, refused: boolean): string =>
  pageOf(
    { ...frame, title: refused ? 'Not signed in' : 'Sign in' },
    html`!${
      refused
        ? '<p role="alert" class="alert">That login and password do not open an account. After several wrong passwords an account rests for a quarter of an hour.</p>'
        : ''
    }
<form method="post" action="/sign-in" class="sign-in">
<p><label for="login">Login</label>
<input id="login" name="login" autocomplete="username" autocapitalize="none" spellcheck="false" required></p>
<p><label for="password">Password</label>
<input id="password" name="password" type="password" autocomplete="current-password" required></p>
<p><button>Sign in</button></p>
</form>
<p>Accounts are made by whoever runs the service.</p>`,
  )
