"""The screens: which there are, in their order, and to whom each is open."""

from dataclasses import dataclass

from models.permits import Role

COORDINATOR, COACH, PLAYER, GUARDIAN = Role.COORDINATOR, Role.COACH, Role.PLAYER, Role.GUARDIAN


@dataclass(frozen=True)
class Screen:
    """A page of `dashboard/views`, and to whom it is open. The first that is open to somebody is where they begin."""

    view: str
    title: str
    roles: tuple[Role, ...]
    roles_of_a_body: tuple[Role, ...] = ()
    """To whom it is open in the folder of a body, which has clubs and no players of its own."""

    def is_open_to(self, role: Role, *, of_a_body: bool) -> bool:
        """Whether somebody of this role may look at it."""
        return role in (self.roles_of_a_body if of_a_body else self.roles)

    @property
    def address(self) -> str:
        """The path at which it is served: each screen has that of its script."""
        return f"/{self.view}"


SCREENS = (
    Screen("clubs", "Clubs", (), (COORDINATOR,)),
    Screen("club_week", "The club's week", (COORDINATOR,)),
    Screen("bring_in", "Bring in logs", (COORDINATOR,)),
    Screen("batches", "What came in", (COORDINATOR,)),
    Screen("needs", "Who needs you?", (COORDINATOR, COACH)),
    Screen("board", "Coverage board", (COORDINATOR, COACH)),
    Screen("one_player", "One player", (COORDINATOR, COACH)),
    Screen("compare", "Compare", (COORDINATOR, COACH)),
    Screen("next_session", "Next session", (COORDINATOR, COACH)),
    Screen("hall", "Hall plan", (COORDINATOR, COACH)),
    Screen("setups", "Setups", (COORDINATOR, COACH)),
    Screen("who_plays", "Who plays", (COORDINATOR,)),
    Screen("first_steps", "First steps", (COORDINATOR,)),
    Screen("places", "Places and feeders", (COORDINATOR, COACH)),
    Screen("wanted", "What is wanted", (COORDINATOR, COACH)),
    Screen("write_block", "Write a block", (COORDINATOR, COACH)),
    Screen("own_logs", "Logged by players", (COORDINATOR, COACH)),
    Screen("type_sheet", "Type a sheet", (COORDINATOR, COACH)),
    Screen("my_training", "My training", (PLAYER, GUARDIAN)),
    Screen("people", "People", (COORDINATOR,), (COORDINATOR,)),
    Screen("club_settings", "Settings", (COORDINATOR,)),
    Screen("audit_trail", "Audit trail", (COORDINATOR,), (COORDINATOR,)),
    Screen("privacy", "What is stored", (COORDINATOR, COACH, PLAYER, GUARDIAN)),
)
