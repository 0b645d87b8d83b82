"""Compiling ahead."""

from rushlight.heat.warm import warm_in_background


def test_the_kernels_can_be_compiled_in_the_background() -> None:
    """The thread ends by itself, does not hold up the end of the program, and leaves kernels."""
    from rushlight.heat import kernel_burn, kernel_set

    thread = warm_in_background()
    thread.join(110)
    assert not thread.is_alive()
    assert thread.daemon
    for kernel in (kernel_set.march, kernel_burn.burn):
        assert getattr(kernel, "signatures", None)
