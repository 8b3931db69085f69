"""Every question that a face asks of the published tables, by name. The only SQL of the dashboard."""

from dashboard.questions.asking import Desk as Desk
from dashboard.questions.asking import owners_desk as owners_desk
from dashboard.questions.asking import require_open as require_open
from dashboard.questions.at_table import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.club import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.coach import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.everyone import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.feeding import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.judged import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.player import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.privacy import *  # noqa: F403 - a face names a question, not its file
from dashboard.questions.setups import *  # noqa: F403 - a face names a question, not its file
