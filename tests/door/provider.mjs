// A real OpenID Connect provider on this machine, for the tests: whoever gives a name is signed in under that name.
import Provider from "oidc-provider";

const [port, redirectUri, secret] = process.argv.slice(2);

const provider = new Provider(`http://127.0.0.1:${port}`, {
  clients: [
    {
      client_id: "halflong-tests",
      client_secret: secret,
      redirect_uris: [redirectUri],
      response_types: ["code"],
      grant_types: ["authorization_code"],
    },
  ],
  pkce: { required: () => true },
  cookies: { keys: ["only for tests"] },
  // Claims that we never asked for, and must not believe.
  claims: { openid: ["sub", "role", "club_role"] },
  findAccount: (_context, id) => ({
    accountId: id,
    claims: () => ({ sub: id, role: "coordinator", club_role: "coordinator" }),
  }),
});

provider.listen(Number(port), "127.0.0.1", () => console.log("listening"));
